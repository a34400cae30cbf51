/** The way into `forecast-thread.ts`: a thread compiles what it loads for itself, as `start.mjs` does for the server. */
const { register } = await import('tsx/esm/api');
register();
await import('./forecast-thread.ts');

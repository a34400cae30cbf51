/** `npm start`: plain Node, so that whatever is missing can be said in words before anything else is loaded. */
import { existsSync } from 'node:fs';

const here = (path) => new URL(`../../${path}`, import.meta.url);

if (!existsSync(here('node_modules/tsx'))) {
  console.error('The packages are not installed. Run: npm ci');
  process.exit(2);
}
if (!existsSync(here('dist/index.html'))) {
  console.error('The pages are not built. Run: npm run build');
  process.exit(2);
}
const { register } = await import('tsx/esm/api');
register();
await import(here('src/server/main.ts').href);

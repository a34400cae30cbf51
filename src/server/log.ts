/** One line of JSON for each thing that somebody who runs the server must look at. No keys, codes or names, ever. */
export type Log = (event: string, details: Readonly<Record<string, unknown>>) => void;

export const logToStderr: Log = (event, details) => {
  console.error(JSON.stringify({ at: new Date().toISOString(), event, ...details }));
};

/** A fault as it can be written down: what and where, nothing of what was sent. */
export function faultDetails(fault: unknown): Readonly<Record<string, unknown>> {
  if (!(fault instanceof Error)) return { fault: typeof fault };
  return { fault: fault.name, message: fault.message, stack: fault.stack };
}

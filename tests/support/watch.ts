/** What must not happen in any browser test: a request to anybody else, a breach of the content policy, a fault. */
import type { BrowserContext } from 'playwright/test';

/** Runs in every page before anything of ours. */
function reportBreaches(): void {
  document.addEventListener('securitypolicyviolation', (breach) => {
    const { violatedDirective, blockedURI, sourceFile, lineNumber, columnNumber } = breach;
    const at = `${sourceFile}:${lineNumber}:${columnNumber}`;
    console.error(`Content Security Policy: ${violatedDirective} forbids ${blockedURI} at ${at}`);
  });
}

/** Notes into `troubles` what goes wrong in any page or worker of the browser. */
export async function watchFor(troubles: string[], context: BrowserContext, origin: string): Promise<void> {
  context.on('request', (request) => {
    const url = new URL(request.url());
    const own = url.origin === origin || url.protocol === 'data:' || url.protocol === 'blob:';
    if (!own) troubles.push(`request to ${request.url()}`);
  });
  context.on('console', (message) => {
    if (/content security policy/i.test(message.text())) troubles.push(message.text());
  });
  context.on('weberror', (fault) => troubles.push(String(fault.error().stack ?? fault.error())));
  context.on('dialog', (dialog) => {
    troubles.push(`dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  await context.addInitScript(reportBreaches);
}

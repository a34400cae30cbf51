/** The page that a newcomer opens first: what to do, with the codes to scan, type or copy. */
import { html, raw } from 'hono/html';
import { inGroups } from '../src/domain/code.ts';
import { chooseForDemo } from './demo-paper.ts';
import type { Workshop } from './records.ts';
import { SITE_NAME, SITE_STAGES } from './workshop.ts';

const BADGES = 4;
const TICKETS = 8;

const grouped = (code: string) => inGroups(code).join(' ');

/** The first page of the demo, as HTML. */
export function demoPage(workshop: Workshop): string {
  const { benches, due } = chooseForDemo(workshop);
  const stageNames = new Map(SITE_STAGES.map(({ code, name }) => [code, name]));
  const desk = benches.find(({ place }) => place === 'desk');
  const hands = workshop.badges.filter(({ role }) => role === 'hand').slice(0, BADGES);
  const supervisor = workshop.badges.find(({ role }) => role === 'supervisor')?.token ?? '';
  const page = html`<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8" />
<meta name="viewport" content="width=device-width, initial-scale=1" />
<title>${SITE_NAME}: try Waxend</title>
<link rel="stylesheet" href="/demo/page.css" />
</head>
<body>
<h1>${SITE_NAME}</h1>
<p>An invented workshop with invented people. Its tablets have sent in thirty working days of records.</p>
<h2>1. Open a bench</h2>
<p>Each link sets this browser up as that bench. A second bench needs another browser, a private window or a tablet.</p>
<ul>
${benches
  .filter(({ place }) => place === 'bench')
  .map(({ name, setupToken, stages }) => {
    const named = stages.map((code) => stageNames.get(code) ?? code).join(', ');
    return html`<li><a href="/bench#setup=${setupToken}" target="_blank" rel="noopener">${name}</a> <small>${named}</small> <code>${grouped(setupToken)}</code></li>`;
  })}
</ul>
<h2>2. Badge on, then scan a ticket, then scan it again</h2>
<p>Open <a href="/demo/paper" target="_blank" rel="noopener">the sheet with badges and tickets</a>: print it, or hold another
screen to the camera. Without a camera copy a code from here and paste it into the bench’s window (Ctrl+V), or tap
<b>Type it</b> there.</p>
<table>
<caption>Badges</caption>
${hands.map(({ name, token }) => html`<tr><th scope="row">${name}</th><td><code>${grouped(token)}</code></td></tr>`)}
</table>
<table>
<caption>Tickets, each due at the bench beside it</caption>
${due
  .slice(0, TICKETS * 2)
  .map(
    ({ pair, bench, stage }) =>
      html`<tr><td><code>${grouped(pair)}</code></td><th scope="row">${bench.name}</th><td>${stageNames.get(stage) ?? stage}</td></tr>`,
  )}
</table>
<table>
<caption>Racks: scan one at a bench for what stands on it, or while a pair’s card is open to put the pair there</caption>
${workshop.book.racks.map(({ rack, name }) => html`<tr><th scope="row">${name}</th><td><code>${grouped(rack)}</code></td></tr>`)}
</table>
<p>A supervisor’s badge lets a pair past where a bench asks: <code>${grouped(supervisor)}</code></p>
<h2>3. See it arrive</h2>
<p>${desk === undefined ? '' : html`<a href="/desk#setup=${desk.setupToken}" target="_blank" rel="noopener">Open the desk</a> beside the bench: what is clocked in shows there within a second. <code>${grouped(desk.setupToken)}</code>`}</p>
<h2>4. Pull the plug</h2>
<p>Stop the server with Ctrl+C, reload the bench and go on scanning. Start it again with <code>npm run demo</code>: what was
kept on the bench is sent, once.</p>
</body>
</html>`;
  return String(raw(page));
}

export const DEMO_CSS = `
body { max-width: 60rem; margin: 2rem auto; padding: 0 1.5rem; background: #f7f2e8; color: #1d1916; font: 18px/1.5 sans-serif }
h1 { font-size: 2.4rem; margin: 0 }
h2 { margin: 2.2rem 0 0.4rem; font-size: 1.4rem }
a { color: #6d1f26; font-weight: 700 }
code { font: 1em/1.4 ui-monospace, monospace; background: #fffdf8; border: 1px solid #d9cfbf; padding: 0.1em 0.4em; white-space: nowrap }
table { border-collapse: collapse; margin: 1rem 0; width: 100% }
caption { text-align: left; color: #5c534a }
th, td { text-align: left; padding: 0.35rem 1rem 0.35rem 0; border-bottom: 1px solid #d9cfbf; font-weight: 400 }
small { color: #5c534a }
li { margin: 0.4rem 0 }
`;

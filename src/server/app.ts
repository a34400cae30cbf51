/** The server as a value: given its parts, it answers requests. No port, no file, no clock of its own. */
import { Hono } from 'hono';
import { compress } from 'hono/compress';
import { CALENDAR_BYTES_MAX } from '../wire/calendar.ts';
import { PUSH_BYTES_MAX } from '../wire/push.ts';
import { SITE_CHANGE_BYTES_MAX } from '../wire/site-change.ts';
import { withKey } from './access.ts';
import { jsonBody } from './body.ts';
import { Followers } from './followers.ts';
import { faultDetails } from './log.ts';
import type { AppContext, AppEnv, ServerParts } from './parts.ts';
import { refuse } from './refuse.ts';
import { answerCalendar, answerCalendarChange } from './routes/calendar.ts';
import { answerDeskNow } from './routes/desk-now.ts';
import { answerEnrol, ENROL_BYTES_MAX } from './routes/enrol.ts';
import { answerHealth } from './routes/health.ts';
import { answerLive } from './routes/live.ts';
import { answerPhoto, answerPutPhoto, photoBody } from './routes/photo.ts';
import { answerPull } from './routes/pull.ts';
import { answerPush } from './routes/push.ts';
import { readInterface } from './routes/read.ts';
import {
  answerBehind,
  answerForecast,
  answerHandBehind,
  answerHands,
  answerLookBack,
  answerSheet,
  answerShifts,
  findSheet,
  HANDS_BYTES_MAX,
} from './routes/sheet.ts';
import { answerSite } from './routes/site.ts';
import { answerSiteChange } from './routes/site-change.ts';
import { answerPair, answerSnapshot } from './routes/snapshot.ts';
import { securityHeaders } from './security-headers.ts';
import { AllSheets } from './sheet/all-sheets.ts';
import { Snapshots } from './snapshots.ts';
import { staticFiles } from './static-files.ts';

export function createApp(parts: ServerParts): Hono<AppEnv> {
  const { clock, config, log } = parts;
  const followers = new Followers(parts.ledger);
  const app = new Hono<AppEnv>();
  app.use(async (c, next) => {
    c.set('receivedAt', clock());
    return next();
  });
  app.use(securityHeaders(config));
  // Live streams pass by: they say no-transform.
  app.use(compress());
  app.use('/api/*', async (c, next) => {
    await next();
    if (!c.res.headers.has('cache-control')) c.res.headers.set('cache-control', 'no-store');
  });

  app.get('/api/health', answerHealth(parts));
  app.post('/api/enrol', ...jsonBody(ENROL_BYTES_MAX), answerEnrol(parts));
  app.post('/api/push', withKey(parts), ...jsonBody(PUSH_BYTES_MAX), answerPush(parts));
  app.get('/api/pull', withKey(parts), answerPull(parts));
  app.get('/api/snapshot', withKey(parts), answerSnapshot(parts, new Snapshots(parts.ledger, followers)));
  app.get('/api/pair/:pair', withKey(parts), answerPair(parts));
  app.get('/api/site', withKey(parts), answerSite(parts));
  app.post(
    '/api/site/change',
    withKey(parts, 'desk'),
    ...jsonBody(SITE_CHANGE_BYTES_MAX),
    answerSiteChange(parts, followers),
  );
  app.get('/api/site/calendar', withKey(parts, 'desk'), answerCalendar(parts));
  app.post(
    '/api/site/calendar',
    withKey(parts, 'desk'),
    ...jsonBody(CALENDAR_BYTES_MAX),
    answerCalendarChange(parts),
  );
  app.put('/api/photo/:sha256', withKey(parts), photoBody, answerPutPhoto(parts));
  app.get('/api/photo/:sha256', withKey(parts), answerPhoto(parts));
  app.get('/api/live', withKey(parts), answerLive(parts));
  app.get('/api/desk/now', withKey(parts, 'desk'), answerDeskNow(parts, followers));
  const sheets = new AllSheets(parts.ledger);
  const sheetsOf = (c: AppContext) => sheets.of(c.get('bench').site);
  app.get('/api/shifts', withKey(parts, 'desk'), answerShifts(parts));
  app.get('/api/sheet', withKey(parts, 'desk'), answerSheet(parts, sheetsOf));
  app.get('/api/sheet/behind', withKey(parts, 'desk'), answerBehind(parts, sheetsOf));
  app.post(
    '/api/sheet/behind',
    withKey(parts, 'desk'),
    ...jsonBody(HANDS_BYTES_MAX),
    answerHandBehind(parts, sheetsOf),
  );
  app.get('/api/sheet/look-back', withKey(parts, 'desk'), answerLookBack(parts, sheetsOf));
  app.get('/api/forecast', withKey(parts, 'desk'), answerForecast(parts, sheetsOf));
  app.post(
    '/api/sheet/hands',
    withKey(parts, 'desk'),
    ...jsonBody(HANDS_BYTES_MAX),
    answerHands(parts, sheetsOf),
  );
  app.route('/', readInterface(parts, findSheet(parts, sheetsOf)));
  app.all('/api/*', (c) => refuse(c, 'not-found'));
  if (config.staticFolder !== null) app.route('/', staticFiles(config.staticFolder));

  app.notFound((c) => refuse(c, 'not-found'));
  app.onError((fault, c) => {
    // Who went away in mid-sentence is not our fault, and reads no answer.
    if (!c.req.raw.signal.aborted)
      log('server-fault', { method: c.req.method, path: c.req.path, ...faultDetails(fault) });
    return refuse(c, 'server-fault');
  });
  return app;
}

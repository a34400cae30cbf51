/** The built pages. A missing asset is a real 404: answered with the page, an old tab would run HTML as a script. */
import { serveStatic } from '@hono/node-server/serve-static';
import { Hono } from 'hono';
import { createMiddleware } from 'hono/factory';
import type { AppEnv } from './parts.ts';

/** The one page answers at each of these. */
const PAGES = ['/', '/bench', '/desk', '/desk/*'];

/** The builder puts a hash of the content into each name here. */
const HASHED = '/assets/';

export function staticFiles(folder: string): Hono<AppEnv> {
  const app = new Hono<AppEnv>();
  app.use(cacheRules);
  for (const page of PAGES) app.get(page, serveStatic({ root: folder, path: 'index.html' }));
  app.get('*', serveStatic({ root: folder, precompressed: true }));
  return app;
}

const cacheRules = createMiddleware<AppEnv>(async (c, next) => {
  await next();
  if (c.res.status >= 400) return;
  const forGood = c.req.path.startsWith(HASHED);
  c.res.headers.set('cache-control', forGood ? 'public, max-age=31536000, immutable' : 'no-cache');
});

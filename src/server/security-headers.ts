/** Headers of every answer. The policy is CSP Level 3; nothing comes from another origin, and no text becomes code. */
import { createMiddleware } from 'hono/factory';
import { HEADERS, WIRE_VERSION } from '../wire/version.ts';
import type { AppEnv, ServerConfig } from './parts.ts';

const POLICY = [
  "default-src 'none'",
  // The barcode reader is WebAssembly; 'unsafe-eval' would allow far more.
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "media-src 'self' blob:",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "frame-ancestors 'none'",
  "base-uri 'none'",
  "form-action 'none'",
];

const YEAR_S = 365 * 24 * 60 * 60;

export function contentSecurityPolicy({ trustedTypes }: Pick<ServerConfig, 'trustedTypes'>): string {
  return [...POLICY, ...(trustedTypes ? ["require-trusted-types-for 'script'"] : [])].join('; ');
}

export function securityHeaders(config: ServerConfig) {
  const headers: Readonly<Record<string, string>> = {
    'content-security-policy': contentSecurityPolicy(config),
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'no-referrer',
    'permissions-policy': 'camera=(self), screen-wake-lock=(self), microphone=(), geolocation=()',
    'cross-origin-opener-policy': 'same-origin',
    'cross-origin-resource-policy': 'same-origin',
    [HEADERS.wire]: String(WIRE_VERSION),
    ...(config.https ? { 'strict-transport-security': `max-age=${YEAR_S}` } : {}),
  };
  return createMiddleware<AppEnv>(async (c, next) => {
    await next();
    for (const [name, value] of Object.entries(headers)) c.res.headers.set(name, value);
  });
}

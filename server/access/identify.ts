import { fastifyCookie } from '@fastify/cookie';
import type { IncomingHttpHeaders } from 'node:http';
import type { Accounts, Identity } from './accounts.ts';

export const SESSION_COOKIE = 'potside_session';

/** Who sends this request: by bearer token, else by session cookie; null where neither holds. */
export function identify(accounts: Accounts, headers: IncomingHttpHeaders): Identity | null {
  const bearer = /^Bearer ([\w-]+)$/.exec(headers.authorization ?? '')?.[1];
  if (bearer !== undefined) return accounts.byToken(bearer);
  const session = sessionOf(headers);
  return session === null ? null : accounts.bySession(session);
}

export function sessionOf(headers: IncomingHttpHeaders): string | null {
  const value = fastifyCookie.parse(headers.cookie ?? '')[SESSION_COOKIE];
  return typeof value === 'string' && value !== '' ? value : null;
}

/**
 * True when a browser's request comes from our own page. Programs send no Origin. A cookie alone proves nothing: a foreign page can
 * make the browser send it, over a WebSocket too.
 */
export function isOwnOrigin(headers: IncomingHttpHeaders): boolean {
  const { origin, host } = headers;
  if (origin === undefined) return true;
  try {
    return new URL(origin).host === host;
  } catch {
    return false;
  }
}

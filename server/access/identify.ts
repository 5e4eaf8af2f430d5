import { fastifyCookie } from '@fastify/cookie';
import type { IncomingHttpHeaders } from 'node:http';
import type { Accounts } from './accounts.ts';
import type { Identity } from './identity.ts';

export type Cookie = 'session' | 'wall' | 'device' | 'browser' | 'tie';
export type CookieNames = Readonly<Record<Cookie, string>>;

/**
 * Names of our cookies. Over TLS each is `__Host-` as well, so that no other name under the domain can set it. Browsers keep cookies by
 * host, whatever the port: the demonstration has names of its own, so that it signs nobody out of the Potside that runs beside it.
 */
export function cookieNames(isDemo: boolean): CookieNames {
  const prefix = isDemo ? 'potside_demo' : 'potside';
  return { session: `${prefix}_session`, wall: `${prefix}_wall`, device: `${prefix}_device`, browser: `${prefix}_browser`, tie: `${prefix}_open_id` };
}

/** Who sends this request: by bearer token, else by session, else by the link of a wall screen; null where none holds. */
export async function identify(accounts: Accounts, cookies: CookieNames, headers: IncomingHttpHeaders): Promise<Identity | null> {
  const { authorization } = headers;
  // A token that does not hold is not made up for by a cookie.
  if (authorization !== undefined) {
    const bearer = /^Bearer ([\w-]+)$/.exec(authorization)?.[1];
    return bearer === undefined ? null : accounts.tokens.identity(bearer);
  }
  const session = cookieOf(headers, cookies.session);
  const signedIn = session === null ? null : await accounts.sessions.identity(session);
  if (signedIn) return signedIn;
  const wall = cookieOf(headers, cookies.wall);
  return wall === null ? null : accounts.screens.wall(wall);
}

export function cookieOf(headers: IncomingHttpHeaders, name: string): string | null {
  const cookies = fastifyCookie.parse(headers.cookie ?? '');
  const value = cookies[`__Host-${name}`] ?? cookies[name];
  return typeof value === 'string' && value !== '' ? value : null;
}

/** Of a browser's own headers: it says whether a request comes from a page of ours. */
const OWN_SITES = ['same-origin', 'none'];

/**
 * True when a browser's request comes from our own page. Programs send neither header. A cookie alone proves nothing: a foreign page can
 * make the browser send it, over a WebSocket too.
 */
export function isOwnOrigin(headers: IncomingHttpHeaders): boolean {
  const { origin, host } = headers;
  const site = headers['sec-fetch-site'];
  if (typeof site === 'string' && !OWN_SITES.includes(site)) return false;
  if (origin === undefined) return true;
  try {
    return new URL(origin).host === host;
  } catch {
    return false;
  }
}

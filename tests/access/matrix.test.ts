import { io, type Socket } from 'socket.io-client';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { LiveSnapshot } from '../../domain/wire/live.ts';
import { ROLES, type Role } from '../../server/access/role.ts';
import { until } from '../support/quiet.ts';
import { batch, NOW } from '../support/server.ts';
import { twoSites, type TwoSites } from '../support/two-sites.ts';
import { ROUTES } from './expectations.ts';

/** What stands on a site, to be named in addresses. */
interface Things {
  readonly site: string;
  readonly rig: string;
  readonly shift: string;
  readonly alarm: string;
}

const PNG = Buffer.from('89504e470d0a1a0a00', 'hex');

/** Fills a route's address and body with what is of one site. */
function fill(text: string, { site, rig, shift, alarm }: Things): string {
  const id = text.includes('/shifts/') ? shift : text.includes('/alarms/') ? alarm : 'not-there';
  return text.replace(':site', site).replace(':rig', rig).replace(/:(id|proposal)\b/, id).replace(/:(key|name|photo)\b/, 'not-there');
}

async function ask(sites: TwoSites, route: string, things: Things, headers: Record<string, string>): Promise<{ status: number; text: string }> {
  const [method = '', path = ''] = route.split(' ');
  const { body, query = '', png } = ROUTES[route] ?? {};
  const response = await fetch(sites.server.url + fill(path, things) + query, {
    method,
    redirect: 'manual',
    headers: { ...headers, ...(png ? { 'content-type': 'image/png' } : body === undefined ? {} : { 'content-type': 'application/json' }) },
    ...(png ? { body: PNG } : body === undefined ? {} : { body: fill(JSON.stringify(body), things) }),
  });
  return { status: response.status, text: await response.text() };
}

const names = Object.keys(ROUTES);

it('every route stands in the matrix, and nothing else does', async () => {
  const { server } = await twoSites();
  expect(server.routes.map(({ method, path }) => `${method} ${path}`).toSorted()).toEqual(names.toSorted());
});

describe.each([...ROLES])('%s', (role: Role) => {
  it('may call what is theirs on their own site, and is refused everything else by role', async () => {
    const sites = await twoSites();
    const cookie = await sites.signIn(role, ['pier-9']);
    const { own } = await sites.things();
    for (const route of names) {
      const allowed = ROUTES[route]?.allowed ?? [];
      if (allowed === 'anyone') continue;
      const { status, text } = await ask(sites, route, own, { cookie });
      const isRefused = [401, 500].includes(status) || (status === 403 && text.includes('your role does not allow')) || (status === 404 && !/not-there|no gateway that was heard/.test(text));
      expect(isRefused, `${route}: ${status} ${text}`).toBe(!allowed.includes(role));
    }
  });

  it('finds nothing of a foreign site, on whatever route', async () => {
    const sites = await twoSites();
    const cookie = await sites.signIn(role, ['pier-9']);
    const { foreign } = await sites.things();
    for (const route of names) {
      const expected = ROUTES[route];
      if (!expected || expected.allowed === 'anyone') continue;
      const { status, text } = await ask(sites, route, foreign, { cookie });
      if (expected.ofSite) expect([403, 404], `${route}: ${status} ${text}`).toContain(status);
      // What is asked about is said back; what stands there is not.
      const told = text.replaceAll(foreign.alarm, '').replaceAll(foreign.shift, '').replaceAll(foreign.rig, '').replaceAll(foreign.site, expected.ofSite ? '' : foreign.site);
      expect(told, route).not.toMatch(/hall-2|rig-z|Hall 2/);
    }
  });
});

it('a gateway’s token hands readings of its own site over, and does nothing else', async () => {
  const sites = await twoSites();
  const headers = { authorization: `Bearer ${await sites.server.accounts.tokens.add('box', 'gateway', { sites: ['pier-9'] })}` };
  const { own, foreign } = await sites.things();
  for (const route of names) {
    const allowed = ROUTES[route]?.allowed ?? [];
    if (allowed === 'anyone') continue;
    const { status, text } = await ask(sites, route, own, headers);
    expect(status === 403, `${route}: ${status} ${text}`).toBe(!allowed.includes('gateway'));
  }
  expect((await ask(sites, 'POST /api/uplink/:site', foreign, headers)).status).toBe(404);
  expect(await firstSnapshot(sites, headers)).toBeNull();
});

describe.each(['no session', 'a revoked session', 'an expired session', 'a revoked token', 'an expired token', 'a token of another site'] as const)('%s', (what) => {
  it('is refused every route that is not for anyone', async () => {
    const sites = await twoSites();
    const headers = await credential(sites, what);
    const { own } = await sites.things();
    for (const route of names) {
      const expected = ROUTES[route];
      if (!expected || expected.allowed === 'anyone') continue;
      const { status, text } = await ask(sites, route, own, headers);
      if (what !== 'a token of another site') expect(status, `${route}: ${text}`).toBe(401);
      else if (expected.ofSite) expect([403, 404], `${route}: ${status} ${text}`).toContain(status);
    }
  });

  it('opens no socket', async () => {
    const sites = await twoSites();
    const headers = await credential(sites, what);
    const snapshots = what === 'a token of another site' ? await firstSnapshot(sites, headers) : null;
    if (what === 'a token of another site') expect(snapshots?.sites.map(({ id }) => id)).toEqual(['hall-2']);
    else expect(await firstSnapshot(sites, headers)).toBeNull();
  });
});

async function credential(sites: TwoSites, what: string): Promise<Record<string, string>> {
  const { accounts } = sites.server;
  const doer = { by: 'test', role: 'administrator', address: 'test' };
  switch (what) {
    case 'a revoked session': {
      const cookie = await sites.signIn('administrator', null);
      await accounts.sessions.end((await accounts.sessions.list('the administrator'))[0]?.id ?? '', doer);
      return { cookie };
    }
    case 'an expired session': {
      const cookie = await sites.signIn('administrator', null);
      sites.clock.set(NOW + 15 * 3_600_000);
      return { cookie };
    }
    case 'a revoked token': {
      const token = await accounts.tokens.add('report', 'administrator');
      await accounts.tokens.revoke('report');
      return { authorization: `Bearer ${token}` };
    }
    case 'an expired token': {
      const token = await accounts.tokens.add('report', 'administrator', { untilMs: NOW + 60_000 });
      sites.clock.set(NOW + 60_001);
      return { authorization: `Bearer ${token}` };
    }
    case 'a token of another site':
      return { authorization: `Bearer ${await accounts.tokens.add('report', 'administrator', { sites: ['hall-2'] })}` };
    default:
      return {};
  }
}

function connect({ server }: TwoSites, headers: Record<string, string>): Socket {
  const socket = io(server.url, { transports: ['websocket'], reconnection: false, forceNew: true, extraHeaders: headers });
  onTestFinished(() => void socket.disconnect());
  return socket;
}

function firstSnapshot(sites: TwoSites, headers: Record<string, string>): Promise<LiveSnapshot | null> {
  const socket = connect(sites, headers);
  return new Promise((resolve) => {
    socket.on('snapshot', resolve);
    socket.on('connect_error', () => resolve(null));
  });
}

describe('sockets', () => {
  it.each([...ROLES])('%s hears of their own site only, in every event, without a gap', async (role) => {
    const sites = await twoSites();
    const cookie = await sites.signIn(role, ['pier-9']);
    const socket = connect(sites, { cookie });
    const heard: { event: string; text: string; revision: number }[] = [];
    socket.onAny((event: string, message: { revision: number }) => heard.push({ event, text: JSON.stringify(message), revision: message.revision }));
    await until(() => heard.some(({ event }) => event === 'snapshot'), 'the snapshot');
    await sites.things();
    await sites.sendTo('hall-2', 'rig-z', { 'breathing-air-co': 40 });
    await sites.sendTo('pier-9', 'rig-a', { 'breathing-air-co': 41 });
    await sites.server.writer('hall-2')?.act({ kind: 'hood-in', rig: 'rig-z', name: 'Zoe', by: 'x', role: 'tender', from: 'test', key: 'hood-z-1' });
    socket.emit('resync');
    await until(() => heard.some(({ event, text }) => event === 'live' && text.includes('breathing-air-co')) && heard.filter(({ event }) => event === 'snapshot').length > 1, 'the reading and the second snapshot');
    expect(heard.map(({ text }) => text).join('\n')).not.toMatch(/hall-2|rig-z|Hall 2|Zoe/);
    expect(heard.some(({ event }) => event === 'alarms')).toBe(true);
    const counted = heard.filter(({ event }) => event !== 'snapshot').map(({ revision }) => revision);
    expect(counted).toEqual(counted.map((_, index) => (counted[0] ?? 0) + index));
  });

  it('close at once when the session is ended, the token revoked, the person changed', async () => {
    const sites = await twoSites();
    const { accounts } = sites.server;
    const doer = { by: 'test', role: 'administrator', address: 'test' };
    const closed = async (headers: Record<string, string>, end: () => Promise<unknown>): Promise<void> => {
      const socket = connect(sites, headers);
      await new Promise<void>((resolve) => void socket.on('snapshot', () => resolve()));
      const gone = new Promise<string>((resolve) => void socket.on('disconnect', resolve));
      await end();
      expect(await gone).toBe('io server disconnect');
    };
    const cookie = await sites.signIn('viewer', null);
    await closed({ cookie }, async () => accounts.sessions.end((await accounts.sessions.list('the viewer'))[0]?.id ?? '', doer));
    const token = await accounts.tokens.add('wallboard', 'viewer');
    await closed({ authorization: `Bearer ${token}` }, () => accounts.tokens.revoke('wallboard'));
    const again = await sites.signIn('tender', null);
    await closed({ cookie: again }, () => accounts.change('the tender', { role: 'viewer' }));
    const { id, secret } = await accounts.screens.add('wall', 'hall wall', 'pier-9', NOW + 86_400_000, doer);
    await closed({ cookie: `potside_wall=${secret}` }, () => accounts.screens.revoke(id, doer));
  });
});

it('a path in another spelling is the same route', async () => {
  const { server } = await twoSites();
  for (const path of ['/%61pi/sites', '/api/%73ites', '/api//sites', '/API/sites']) {
    const { status, headers } = await fetch(server.url + path);
    expect([path, status === 200 && headers.get('content-type')?.includes('json')]).toEqual([path, false]);
  }
});

it('a gateway’s readings for a site that is not here are refused', async () => {
  const { server } = await twoSites();
  await expect(server.deliver({ ...batch([]), site: 'elsewhere' })).rejects.toThrow('no site elsewhere');
});

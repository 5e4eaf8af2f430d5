import { Secret, TOTP } from 'otpauth';
import { describe, expect, it } from 'vitest';
import { WRITTEN_ROLES } from '../../domain/wire/server-yaml.ts';
import { ROLES } from '../../server/access/role.ts';
import { NOW, PASSWORD, testServer, type TestServer } from '../support/server.ts';

const cookiesOf = (response: Response): string => response.headers.getSetCookie().map((cookie) => cookie.split(';')[0]).join('; ');
const signIn = (server: TestServer, body: Record<string, string>, cookie?: string): Promise<Response> => server.call('POST', '/api/session', { body, ...(cookie ? { cookie } : {}) });
const whoIs = async (server: TestServer, cookie: string): Promise<unknown> => (await server.call('GET', '/api/session', { cookie })).json();

it('the roles that site.yaml names are the roles there are', () => expect([...WRITTEN_ROLES]).toEqual([...ROLES]));

describe('the first administrator', () => {
  it('is made with the code of the console, once; no account is there before', async () => {
    const server = await testServer();
    const code = server.server.firstAdministratorCode ?? '';
    expect(code).toMatch(/^[A-Z2-9]{4}-[A-Z2-9]{4}-[A-Z2-9]{4}$/);
    expect(await server.server.accounts.users()).toEqual([]);
    expect(await (await server.call('GET', '/api/first-administrator')).json()).toEqual({ open: true });
    expect((await server.call('POST', '/api/first-administrator', { body: { code: 'AAAA-AAAA-AAAA', name: 'eve', password: PASSWORD } })).status).toBe(403);
    const made = await server.call('POST', '/api/first-administrator', { body: { code: code.toLowerCase().replaceAll('-', ' '), name: 'ada', password: PASSWORD } });
    expect(made.status).toBe(201);
    expect(await whoIs(server, cookiesOf(made))).toMatchObject({ name: 'ada', role: 'administrator' });
    expect((await server.call('POST', '/api/first-administrator', { body: { code, name: 'eve', password: PASSWORD } })).status).toBe(403);
    expect(await (await server.call('GET', '/api/first-administrator')).json()).toEqual({ open: false });
  });

  it('has ten tries', async () => {
    const server = await testServer();
    const { accounts, firstAdministratorCode } = server.server;
    for (let n = 0; n < 10; n += 1) await server.call('POST', '/api/first-administrator', { body: { code: `WRONG-${n}`, name: 'eve', password: PASSWORD } });
    const late = await server.call('POST', '/api/first-administrator', { body: { code: firstAdministratorCode, name: 'ada', password: PASSWORD } });
    expect([403, 429]).toContain(late.status);
    expect(await accounts.users()).toEqual([]);
    expect(await (await server.call('GET', '/api/first-administrator')).json()).toEqual({ open: false });
  });
});

describe('a second factor', () => {
  it('is asked for once it is set, and a code is good once', async () => {
    const server = await testServer();
    const cookie = await server.signIn('safety-officer');
    const name = 'the safety-officer';
    const { secret, uri } = (await (await server.call('POST', '/api/second-factor', { cookie })).json()) as { secret: string; uri: string };
    expect(uri).toMatch(/^otpauth:\/\/totp\/Potside/);
    const codeAt = (ms: number): string => new TOTP({ secret: Secret.fromBase32(secret) }).generate({ timestamp: ms });
    expect((await server.call('PUT', '/api/second-factor', { cookie, body: { password: PASSWORD, secret, code: '000000' } })).status).toBe(400);
    expect((await server.call('PUT', '/api/second-factor', { cookie, body: { password: PASSWORD, secret, code: codeAt(NOW) } })).status).toBe(204);
    server.clock.set(NOW + 60_000);
    const without = await signIn(server, { name, password: PASSWORD });
    expect([without.status, ((await without.json()) as { type: string }).type]).toEqual([401, 'code-needed']);
    expect((await signIn(server, { name, password: PASSWORD, code: codeAt(NOW) })).status).toBe(401);
    const code = codeAt(NOW + 60_000);
    expect((await signIn(server, { name, password: PASSWORD, code })).status).toBe(200);
    expect((await signIn(server, { name, password: PASSWORD, code })).status).toBe(401);
    // Without the password the code is not asked for: it must not tell that the name exists.
    expect(((await (await signIn(server, { name, password: 'wrong-wrong' })).json()) as { type: string }).type).toBe('about:blank');
  });
});

describe('a device at the rig', () => {
  it('takes a PIN, for a tender’s role, on its own site; elsewhere a PIN is nothing', async () => {
    const server = await testServer();
    const { accounts } = server.server;
    const supervisor = await server.signIn('supervisor');
    await accounts.setPin('the supervisor', '4711');
    expect((await signIn(server, { name: 'the supervisor', pin: '4711' })).status).toBe(400);
    const made = await server.call('POST', '/api/screens', { cookie: supervisor, body: { kind: 'device', name: 'tablet rig A', site: 'pier-9' } });
    const device = cookiesOf(made);
    expect((await signIn(server, { name: 'the supervisor', pin: '4712' }, device)).status).toBe(401);
    const entered = await signIn(server, { name: 'the supervisor', pin: '4711' }, device);
    const cookie = cookiesOf(entered);
    expect(await whoIs(server, cookie)).toMatchObject({ role: 'tender', sites: ['pier-9'] });
    expect((await server.call('POST', '/api/shifts', { cookie, body: { rig: 'rig-a' } })).status).toBe(403);
    expect((await server.call('POST', '/api/password', { cookie, body: { password: PASSWORD, new: 'another-anvil-1' } })).status).toBe(403);
    const { items } = (await (await server.call('GET', '/api/screens', { cookie: supervisor })).json()) as { items: { id: string }[] };
    await server.call('DELETE', `/api/screens/${items[0]?.id}`, { cookie: supervisor });
    expect((await server.call('GET', '/api/session', { cookie })).status).toBe(401);
    expect((await signIn(server, { name: 'the supervisor', pin: '4711' }, device)).status).toBe(400);
  });

  it.each(['1234', '9876', '0000', '123', '12345678a'])('takes no PIN like %s', async (pin) => {
    const server = await testServer();
    await server.signIn('tender');
    await expect(server.server.accounts.setPin('the tender', pin)).rejects.toThrow(/PIN/);
  });
});

describe('the link of a wall screen', () => {
  it('shows its one site, read only, until it is revoked or over', async () => {
    const server = await testServer();
    const supervisor = await server.signIn('supervisor');
    const { id, path } = (await (await server.call('POST', '/api/screens', { cookie: supervisor, body: { kind: 'wall', name: 'hall wall', site: 'pier-9', until: '2026-06-03T00:00:00Z' } })).json()) as { id: string; path: string };
    const opened = await fetch(server.server.url + path, { redirect: 'manual' });
    expect([opened.status, opened.headers.get('location')]).toEqual([303, '/']);
    const cookie = cookiesOf(opened);
    await server.send({ 'breathing-air-co': 15 });
    expect(await whoIs(server, cookie)).toMatchObject({ name: 'hall wall', role: 'viewer', sites: ['pier-9'] });
    const { items } = (await (await server.call('GET', '/api/alarms', { cookie })).json()) as { items: { id: string }[] };
    expect(items).toHaveLength(1);
    expect((await server.call('POST', `/api/alarms/${items[0]?.id}/acknowledge`, { cookie })).status).toBe(403);
    server.clock.set(Date.parse('2026-06-02T12:00:00Z'));
    expect((await server.call('GET', '/api/alarms', { cookie })).status).toBe(200);
    server.clock.set(Date.parse('2026-06-03T00:00:01Z'));
    expect((await server.call('GET', '/api/alarms', { cookie })).status).toBe(401);
    expect((await fetch(server.server.url + path, { redirect: 'manual' })).status).toBe(403);
    expect(id).not.toBe('');
  });
});

describe('fault 70: guessing and stuffing', () => {
  it('is slowed down by account and address, doubling to a minute', async () => {
    const server = await testServer();
    await server.signIn('viewer');
    const guess = async (): Promise<number> => (await signIn(server, { name: 'the viewer', password: 'wrong-wrong' })).status;
    for (let n = 0; n < 6; n += 1) expect(await guess()).toBe(401);
    const held = await signIn(server, { name: 'the viewer', password: PASSWORD });
    expect([held.status, held.headers.get('retry-after')]).toEqual([429, '1']);
    server.clock.set(server.clock.nowMs() + 1_000);
    expect(await guess()).toBe(401);
    server.clock.set(server.clock.nowMs() + 1_000);
    expect(await guess()).toBe(429);
    for (let n = 0; n < 8; n += 1) {
      server.clock.set(server.clock.nowMs() + 60_000);
      expect(await guess()).toBe(401);
    }
    server.clock.set(server.clock.nowMs() + 59_000);
    expect(await guess()).toBe(429);
  });

  it('never stops a safety officer from seeing alarms: not who is in, not a browser that is known, not the wall', async () => {
    const server = await testServer();
    const { accounts } = server.server;
    const first = await signInFully(server, 'safety-officer');
    for (let n = 0; n < 12; n += 1) await signIn(server, { name: 'the safety-officer', password: `guess-guess-${n}` });
    expect((await signIn(server, { name: 'the safety-officer', password: PASSWORD })).status).toBe(429);
    expect((await server.call('GET', '/api/alarms', { cookie: first })).status).toBe(200);
    // Her phone again, after its session ended: known by its browser cookie, held up by nobody.
    await server.call('DELETE', '/api/session', { cookie: first });
    const again = await signIn(server, { name: 'the safety-officer', password: PASSWORD }, first.split('; ').filter((one) => one.startsWith('potside_browser')).join('; '));
    expect([again.status, ((await again.json()) as { watchOnly: boolean }).watchOnly]).toEqual([200, false]);
    const { secret } = await accounts.screens.add('wall', 'hall wall', 'pier-9', NOW + 86_400_000, { by: 'test', role: 'administrator', address: 'test' });
    expect((await server.call('GET', '/api/alarms', { cookie: `potside_wall=${secret}` })).status).toBe(200);
  });

  it('an account tried from many addresses stays open to look', async () => {
    const { server, from } = await behindProxy();
    await server.server.accounts.addUser('olga', 'safety-officer', PASSWORD);
    for (let n = 0; n < 52; n += 1) expect((await from(`198.51.100.${n}`, { name: 'olga', password: `guess-guess-${n}` })).status).toBe(401);
    const entered = await from('203.0.113.9', { name: 'olga', password: PASSWORD });
    expect(await entered.json()).toMatchObject({ role: 'viewer', watchOnly: true });
    expect(await whoIs(server, cookiesOf(entered))).toMatchObject({ watchOnly: true });
    expect((await server.call('GET', '/api/alarms', { cookie: cookiesOf(entered) })).status).toBe(200);
  });
});

describe('fault 71: sessions', () => {
  it('get a new id at each sign-in, end on the server, and are listed', async () => {
    const server = await testServer();
    const first = await signInFully(server, 'tender');
    const second = await signIn(server, { name: 'the tender', password: PASSWORD }, first);
    const next = cookiesOf(second);
    expect(next.split('; ')[0]).not.toBe(first.split('; ')[0]);
    // The one the browser held before is gone, so a planted one is worth nothing.
    expect((await server.call('GET', '/api/session', { cookie: first })).status).toBe(401);
    const { items } = (await (await server.call('GET', '/api/sessions', { cookie: next })).json()) as { items: { id: string; current: boolean; way: string }[] };
    expect(items.map(({ current, way }) => [current, way])).toEqual([[true, 'password']]);
    expect((await server.call('DELETE', `/api/sessions/${items[0]?.id}`, { cookie: next })).status).toBe(204);
    expect((await server.call('GET', '/api/session', { cookie: next })).status).toBe(401);
  });

  it('of others are an administrator’s to end, nobody else’s', async () => {
    const server = await testServer();
    const tender = await signInFully(server, 'tender');
    const viewer = await signInFully(server, 'viewer');
    const id = (await server.server.accounts.sessions.list('the tender'))[0]?.id;
    expect((await server.call('DELETE', `/api/sessions/${id}`, { cookie: viewer })).status).toBe(404);
    expect((await server.call('GET', '/api/session', { cookie: tender })).status).toBe(200);
    const administrator = await signInFully(server, 'administrator');
    expect((await server.call('DELETE', `/api/sessions/${id}`, { cookie: administrator })).status).toBe(204);
    expect((await server.call('GET', '/api/session', { cookie: tender })).status).toBe(401);
  });
});

describe('people', () => {
  it('are managed without locking the last administrator out', async () => {
    const server = await testServer();
    const cookie = await signInFully(server, 'administrator');
    const refused = await server.call('POST', '/api/people/the%20administrator', { cookie, body: { role: 'viewer' } });
    expect([refused.status, await refused.text()]).toEqual([400, expect.stringContaining('only administrator')]);
    expect((await server.call('POST', '/api/people', { cookie, body: { name: 'kim', role: 'tender', sites: ['pier-9'], password: PASSWORD } })).status).toBe(201);
    expect((await server.call('POST', '/api/people', { cookie, body: { name: 'kim', role: 'tender', sites: ['pier-9'], password: PASSWORD } })).status).toBe(409);
    expect((await server.call('POST', '/api/people', { cookie, body: { name: 'max', role: 'tender', password: 'password123' } })).status).toBe(400);
  });
});

async function signInFully(server: TestServer, role: string): Promise<string> {
  await server.server.accounts.addUser(`the ${role}`, role, PASSWORD);
  return cookiesOf(await signIn(server, { name: `the ${role}`, password: PASSWORD }));
}

/** A server that believes the proxy before it where a caller comes from. */
async function behindProxy(): Promise<{ server: TestServer; from: (address: string, body: Record<string, string>) => Promise<Response> }> {
  const server = await testServer(undefined, undefined, 0, undefined, { trustProxy: ['127.0.0.1'] });
  return { server, from: (address, body) => server.call('POST', '/api/session', { body, headers: { 'x-forwarded-for': address } }) };
}

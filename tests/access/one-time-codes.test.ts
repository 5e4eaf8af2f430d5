import { describe, expect, it } from 'vitest';
import { NOW, PASSWORD, testServer, type TestServer } from '../support/server.ts';

const NEW = 'birch-anvil-77';

async function issued(): Promise<TestServer & { admin: string; code: string; use(code: string, password?: string): Promise<number>; signInAs(password: string): Promise<number> }> {
  const server = await testServer();
  const admin = await server.signIn('administrator');
  await server.server.accounts.addUser('olga', 'safety-officer', PASSWORD);
  const made = await server.call('POST', '/api/people/olga/one-time-code', { cookie: admin });
  expect(made.status).toBe(201);
  const { code } = (await made.json()) as { code: string };
  const use = async (said: string, password = NEW): Promise<number> => (await server.call('POST', '/api/one-time-code', { body: { name: 'olga', code: said, password } })).status;
  const signInAs = async (password: string): Promise<number> => (await server.call('POST', '/api/session', { body: { name: 'olga', password } })).status;
  return { ...server, admin, code, use, signInAs };
}

describe('a one-time code', () => {
  it('changes nothing until it is used; then the new password holds, sessions of before end, and it is used up', async () => {
    const box = await issued();
    expect(box.code).toMatch(/^[A-Z2-9]{4}-[A-Z2-9]{4}-[A-Z2-9]{4}$/);
    expect(await box.signInAs(PASSWORD)).toBe(200);
    expect(await box.server.accounts.sessions.list('olga')).toHaveLength(1);
    expect(await box.use(box.code.toLowerCase().replaceAll('-', ' '))).toBe(204);
    expect(await box.server.accounts.sessions.list('olga')).toEqual([]);
    expect(await box.signInAs(NEW)).toBe(200);
    expect(await box.signInAs(PASSWORD)).toBe(401);
    expect(await box.use(box.code)).toBe(403);
    const told = await box.server.accounts.trail.find({ subject: 'olga', sites: null, limit: 20 });
    expect(told.map(({ what, by }) => `${what} ${by}`)).toEqual(expect.arrayContaining(['one-time-code-made the administrator', 'one-time-code-used olga']));
    expect(JSON.stringify(told)).not.toContain(box.code);
  });

  it('is not used up by a password that is not taken, nor by another name’s try', async () => {
    const box = await issued();
    expect(await box.use(box.code, 'password123')).toBe(400);
    expect((await box.call('POST', '/api/one-time-code', { body: { name: 'the administrator', code: box.code, password: NEW } })).status).toBe(403);
    expect(await box.use(box.code)).toBe(204);
  });

  it('is void after ten wrong tries, after a day, and when a newer one is made', async () => {
    const box = await issued();
    for (let n = 0; n < 10; n += 1) {
      // Each try from its own network: what is tested is the code's own bound, not the waits of an address.
      expect(await box.server.accounts.codes.redeem('olga', `WRONG-${n}`, NEW, `192.0.2.${n}`)).toEqual({ ok: false, why: 'wrong' });
    }
    expect(await box.server.accounts.codes.redeem('olga', box.code, NEW, '198.51.100.1')).toEqual({ ok: false, why: 'wrong' });
    const second = await box.server.accounts.codes.issue('olga', { by: 'test', role: '', address: 'test' });
    const third = await box.server.accounts.codes.issue('olga', { by: 'test', role: '', address: 'test' });
    expect(await box.server.accounts.codes.redeem('olga', second.code, NEW, '198.51.100.2')).toEqual({ ok: false, why: 'wrong' });
    box.clock.set(NOW + 25 * 3_600_000);
    expect(await box.server.accounts.codes.redeem('olga', third.code, NEW, '198.51.100.3')).toEqual({ ok: false, why: 'wrong' });
  });

  it('is slowed down like any guess, is not for oneself and not for who is disabled', async () => {
    const box = await issued();
    let last: unknown;
    for (let n = 0; n < 8; n += 1) last = await box.server.accounts.codes.redeem('olga', 'WRONG', NEW, '203.0.113.9');
    expect(last).toMatchObject({ ok: false, why: 'wait' });
    expect((await box.call('POST', '/api/people/the%20administrator/one-time-code', { cookie: box.admin })).status).toBe(400);
    await box.call('POST', '/api/people/olga', { cookie: box.admin, body: { disabled: true } });
    expect((await box.call('POST', '/api/people/olga/one-time-code', { cookie: box.admin })).status).toBe(400);
    expect((await box.call('POST', '/api/people/nobody/one-time-code', { cookie: box.admin })).status).toBe(404);
  });
});

describe('how somebody else is told', () => {
  it('is an administrator’s to see and change, and told in the trail', async () => {
    const box = await issued();
    const path = '/api/people/olga/contact';
    expect(await (await box.call('GET', path, { cookie: box.admin })).json()).toEqual({ email: null, quiet: null, language: null, browsers: 0 });
    const to = { email: 'olga@example.test', quiet: { fromMin: 1320, toMin: 360 }, language: 'es' };
    expect((await box.call('PUT', path, { cookie: box.admin, body: to })).status).toBe(200);
    expect(await (await box.call('GET', path, { cookie: box.admin })).json()).toEqual({ ...to, browsers: 0 });
    expect((await box.server.accounts.trail.find({ what: 'contact-changed', sites: null, limit: 1 }))[0]).toMatchObject({ by: 'the administrator', subject: 'olga', new: to });
    // A program that knows of no language leaves it as it is.
    expect(await (await box.call('PUT', path, { cookie: box.admin, body: { email: null, quiet: null } })).json()).toEqual({ email: null, quiet: null, language: 'es' });
    expect((await box.call('PUT', path, { cookie: box.admin, body: { email: null, quiet: null, language: 'xx' } })).status).toBe(400);
  });
});

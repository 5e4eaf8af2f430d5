import { io, type Socket } from 'socket.io-client';
import { describe, expect, it, onTestFinished } from 'vitest';
import { ROLES } from '../../server/access/role.ts';
import { PASSWORD, testServer } from '../support/server.ts';

describe('each role', () => {
  const MAY_ACKNOWLEDGE = ['tender', 'supervisor', 'safety-officer', 'administrator'];
  const MAY_RUN_SHIFTS = ['supervisor', 'administrator'];

  it.each([...ROLES])('%s may do what is theirs and no more', async (role) => {
    const { call, signIn, send } = await testServer();
    const cookie = await signIn(role);
    await send({ 'breathing-air-co': 15 });
    const { items } = (await (await call('GET', '/api/alarms', { cookie })).json()) as { items: { id: string }[] };
    expect(items).toHaveLength(1);
    const acknowledged = await call('POST', `/api/alarms/${items[0]?.id}/acknowledge`, { cookie });
    expect(acknowledged.status).toBe(MAY_ACKNOWLEDGE.includes(role) ? 200 : 403);
    const started = await call('POST', '/api/shifts', { cookie, body: { rig: 'rig-a' } });
    expect(started.status).toBe(MAY_RUN_SHIFTS.includes(role) ? 201 : 403);
  });
});

describe('signing in', () => {
  it('fails alike for a wrong name and a wrong password', async () => {
    const { call, signIn } = await testServer();
    await signIn('viewer');
    const answers = await Promise.all([{ name: 'the viewer', password: 'wrong-wrong' }, { name: 'nobody', password: PASSWORD }].map(async (body) => (await call('POST', '/api/session', { body })).text()));
    expect(answers[0]).toBe(answers[1]);
  });

  it('sets a cookie that scripts can’t read and other pages can’t send', async () => {
    const { call, server } = await testServer();
    await server.accounts.addUser('dana', 'viewer', PASSWORD);
    const response = await call('POST', '/api/session', { body: { name: 'dana', password: PASSWORD } });
    expect(response.headers.get('set-cookie')).toMatch(/HttpOnly; SameSite=Strict/);
    expect(await response.json()).toEqual({ name: 'dana', role: 'viewer', sites: null, watchOnly: false });
  });

  it('ends with signing out, with disabling, and with a new password', async () => {
    const { call, signIn, server } = await testServer();
    const cookie = await signIn('viewer');
    expect((await call('GET', '/api/session', { cookie })).status).toBe(200);
    await call('DELETE', '/api/session', { cookie });
    expect((await call('GET', '/api/session', { cookie })).status).toBe(401);
    const second = await signIn('viewer');
    await server.accounts.disableUser('the viewer');
    expect((await call('GET', '/api/session', { cookie: second })).status).toBe(401);
  });

  it('by bearer token works for programs', async () => {
    const { call, server } = await testServer();
    const token = await server.accounts.tokens.add('report', 'viewer');
    expect((await call('GET', '/api/rigs', { headers: { authorization: `Bearer ${token}` } })).status).toBe(200);
    expect((await call('GET', '/api/rigs', { headers: { authorization: 'Bearer wrong' } })).status).toBe(401);
  });
});

describe('a foreign page', () => {
  it('can’t act with our cookie', async () => {
    const { call, signIn } = await testServer();
    const cookie = await signIn('supervisor');
    const response = await call('POST', '/api/shifts', { cookie, body: { rig: 'rig-a' }, headers: { origin: 'https://elsewhere.example' } });
    expect(response.status).toBe(403);
  });

  it('can’t open a socket with our cookie; nor can one who is not signed in', async () => {
    const { server, signIn } = await testServer();
    const cookie = await signIn('viewer');
    expect(await connects(server.url, { cookie, origin: server.url })).toBe(true);
    expect(await connects(server.url, { cookie, origin: 'https://elsewhere.example' })).toBe(false);
    expect(await connects(server.url, { origin: server.url })).toBe(false);
  });
});

it('sends its security headers with every answer', async () => {
  const { call } = await testServer();
  const { headers } = await call('GET', '/api/health');
  expect(headers.get('content-security-policy')).toMatch(/default-src 'none'/);
  expect(headers.get('content-security-policy')).not.toMatch(/unsafe/);
  expect(headers.get('x-content-type-options')).toBe('nosniff');
});

function connects(url: string, extraHeaders: Record<string, string>): Promise<boolean> {
  const socket: Socket = io(url, { transports: ['websocket'], reconnection: false, extraHeaders });
  onTestFinished(() => void socket.disconnect());
  return new Promise((resolve) => {
    socket.on('connect', () => resolve(true));
    socket.on('connect_error', () => resolve(false));
  });
}

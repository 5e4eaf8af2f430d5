import { describe, expect, it } from 'vitest';
import type { AuditRow } from '../../server/audit/audit-trail.ts';
import { NOW, PASSWORD, testServer, type TestServer } from '../support/server.ts';
import { SITE_YAML, testSite } from '../support/site.ts';

const rows = ({ server }: TestServer, what: string): Promise<AuditRow[]> => server.accounts.trail.find({ what, sites: null, limit: 50 });

async function standing(server: TestServer, cookie: string): Promise<string> {
  await server.send({ 'breathing-air-co': 15 });
  const { items } = (await (await server.call('GET', '/api/alarms', { cookie })).json()) as { items: { id: string }[] };
  return items[0]?.id ?? '';
}

describe('the trail', () => {
  it('says who did what to an alarm, from where, and why', async () => {
    const server = await testServer();
    const cookie = await server.signIn('safety-officer');
    const alarm = await standing(server, cookie);
    await server.call('POST', `/api/alarms/${alarm}/acknowledge`, { cookie });
    await server.call('POST', `/api/alarms/${alarm}/shelve`, { cookie, body: { reason: 'sensor-faulty', text: 'cell is three years old', minutes: 30 } });
    expect((await rows(server, 'acknowledge'))[0]).toMatchObject({ by: 'the safety-officer', role: 'safety-officer', address: '127.0.0.1', site: 'pier-9', subject: alarm, atMs: NOW });
    expect((await rows(server, 'shelve'))[0]).toMatchObject({ why: 'sensor-faulty: cell is three years old', subject: alarm });
  });

  it('says that somebody was refused, without what was typed', async () => {
    const server = await testServer();
    await server.signIn('viewer');
    await server.call('POST', '/api/session', { body: { name: 'the viewer', password: 'wrong-wrong' } });
    await server.call('POST', '/api/session', { body: { name: 'my-password-in-the-wrong-field', password: 'x' } });
    expect((await rows(server, 'sign-in-refused')).map(({ by, subject, why }) => [by, subject, why])).toEqual([['unknown', null, 'wrong name or password'], ['the viewer', 'the viewer', 'wrong name or password']]);
    expect((await rows(server, 'signed-in'))[0]).toMatchObject({ by: 'the viewer', new: { way: 'password', watchOnly: false, device: null } });
  });

  it('holds settings with old and new, calibrations, clock jumps, people, tokens and exports', async () => {
    const server = await testServer();
    const cookie = await server.signIn('administrator');
    await server.call('POST', '/api/rigs/rig-a/entries', { cookie, body: { kind: 'calibration-done', text: 'span gas 50 ppm' } });
    await server.server.writer('pier-9')?.noteClockJump(-7_200_000);
    await server.server.writer('pier-9')?.configure(testSite(`${SITE_YAML}\nalarms: { co-high: { limit: 8ppm } }\n`));
    await server.call('POST', '/api/people', { cookie, body: { name: 'kim', role: 'tender', sites: ['pier-9'], password: PASSWORD } });
    await server.call('POST', '/api/people/kim', { cookie, body: { role: 'supervisor' } });
    await server.call('POST', '/api/tokens', { cookie, body: { name: 'report', role: 'viewer' } });
    await server.call('DELETE', '/api/tokens/report', { cookie });
    await server.call('GET', '/api/audit/export?format=json', { cookie });
    expect((await rows(server, 'entry'))[0]).toMatchObject({ subject: 'rig-a', why: 'span gas 50 ppm' });
    expect((await rows(server, 'clock-jumped'))[0]).toMatchObject({ by: 'potside', new: { jumpMs: -7_200_000 } });
    expect((await rows(server, 'setting-changed'))[0]).toMatchObject({ subject: 'co-high limit', new: 8 });
    expect((await rows(server, 'person-changed'))[0]).toMatchObject({ subject: 'kim', old: { role: 'tender', sites: ['pier-9'], disabled: false }, new: { role: 'supervisor', sites: ['pier-9'], disabled: false } });
    expect([(await rows(server, 'person-added')).length, (await rows(server, 'token-made')).length, (await rows(server, 'token-revoked')).length, (await rows(server, 'audit-exported')).length]).toEqual([2, 1, 1, 1]);
    expect(JSON.stringify(await server.server.accounts.trail.find({ sites: null, limit: 500 }))).not.toContain(PASSWORD);
  });

  it('is searched, paged, handed out as CSV and JSON, and verified', async () => {
    const server = await testServer();
    const cookie = await server.signIn('manager');
    for (let n = 0; n < 5; n += 1) await server.server.accounts.trail.add({ atMs: NOW + n, by: 'x', role: '', address: 'test', what: 'counted', subject: `thing ${n}`, why: 'Because, "so"' });
    const get = async (path: string): Promise<{ items: { subject: string; hash: string }[]; next: string | null }> => (await server.call('GET', path, { cookie })).json() as never;
    expect((await get('/api/audit?search=BECAUSE&limit=2')).items.map(({ subject }) => subject)).toEqual(['thing 4', 'thing 3']);
    const { next } = await get('/api/audit?what=counted&limit=2');
    expect((await get(`/api/audit?what=counted&limit=2&cursor=${next}`)).items.map(({ subject }) => subject)).toEqual(['thing 2', 'thing 1']);
    expect((await get('/api/audit?subject=thing%203')).items).toHaveLength(1);
    const csv = await (await server.call('GET', '/api/audit/export?what=counted', { cookie })).text();
    expect(csv.split('\r\n')[0]).toBe('seq,at,by,role,address,what,site,subject,old,new,why,hash');
    expect(csv).toContain('"Because, ""so"""');
    expect(((await (await server.call('GET', '/api/audit/export?what=counted&format=json', { cookie })).json()) as unknown[]).length).toBe(5);
    expect(await (await server.call('GET', '/api/audit/verify', { cookie })).json()).toMatchObject({ intact: true, reason: null });
  });

  it('of other sites, and of none, is not for who sees one site', async () => {
    const server = await testServer();
    await server.server.accounts.addUser('max', 'manager', PASSWORD, { sites: ['hall-2'] });
    await standing(server, await server.signIn('tender'));
    const response = await server.call('POST', '/api/session', { body: { name: 'max', password: PASSWORD } });
    const cookie = (response.headers.getSetCookie()[0] ?? '').split(';')[0] ?? '';
    expect(await (await server.call('GET', '/api/audit', { cookie })).json()).toEqual({ items: [], next: null });
    expect((await server.call('GET', '/api/audit/verify', { cookie })).status).toBe(403);
  });
});

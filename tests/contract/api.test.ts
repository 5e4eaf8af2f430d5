import { describe, expect, it } from 'vitest';
import { NOW, testServer } from '../support/server.ts';

const json = async (response: Response): Promise<any> => response.json();

describe('the HTTP contract', () => {
  it('tells health and readiness to anybody, and nothing else', async () => {
    const { call } = await testServer();
    expect((await call('GET', '/api/health')).status).toBe(200);
    expect(await json(await call('GET', '/api/ready'))).toMatchObject({ ready: true, sites: 1 });
    for (const path of ['/api/sites', '/api/rigs', '/api/rigs/rig-a/points', '/api/alarms', '/api/journal', '/api/shifts', '/api/metrics', '/api/refusals', '/api/session', '/api/nope']) {
      const response = await call('GET', path);
      expect([path, response.status, response.headers.get('content-type')]).toEqual([path, 401, expect.stringContaining('application/problem+json')]);
    }
  });

  it('answers with points in their default unit, with quality, age and margin', async () => {
    const { call, send, signIn, clock } = await testServer();
    const cookie = await signIn('viewer');
    await send({ 'supply-pressure': 104.3 });
    clock.set(NOW + 1_500);
    const { items, next } = await json(await call('GET', '/api/rigs/rig-a/points', { cookie }));
    expect(next).toBeNull();
    expect(items.find((point: any) => point.id === 'supply-pressure')).toMatchObject({ rig: 'rig-a', value: 104.3, unit: '[psi]', quality: 'good', reason: null, at: '2026-06-01T12:00:00.000Z', ageMs: 1500, margin: { limit: 120, side: 'high', distance: 15.7 } });
  });

  it('lists rigs and sites', async () => {
    const { call, signIn } = await testServer();
    const cookie = await signIn('viewer');
    expect(await json(await call('GET', '/api/sites', { cookie }))).toEqual({ items: [{ id: 'pier-9', name: 'Pier 9 fenders', zone: 'America/Chicago', demo: false, recording: true, replay: null }], next: null });
    expect((await json(await call('GET', '/api/rigs', { cookie }))).items.map((rig: any) => [rig.id, rig.site, rig.compressor, rig.wanted])).toEqual([['rig-a', 'pier-9', 'comp-1', [90, 105]], ['rig-b', 'pier-9', 'comp-1', null]]);
  });

  it('takes an alarm from raised to reset, each step in the journal', async () => {
    const { call, send, signIn, clock } = await testServer();
    const cookie = await signIn('safety-officer');
    await send({ 'breathing-air-co': 12.5 });
    const [alarm] = (await json(await call('GET', '/api/alarms', { cookie }))).items;
    expect(alarm).toMatchObject({ name: 'co-high', site: 'pier-9', rig: 'rig-a', point: 'breathing-air-co', priority: 'critical', state: 'unacknowledged', raisedAt: '2026-06-01T12:00:00.000Z', value: 12.5, limit: 10 });
    expect((await call('POST', `/api/alarms/${alarm.id}/reset`, { cookie })).status).toBe(409);
    expect(await json(await call('POST', `/api/alarms/${alarm.id}/acknowledge`, { cookie }))).toEqual({ id: alarm.id, state: 'acknowledged' });
    const again = await call('POST', `/api/alarms/${alarm.id}/acknowledge`, { cookie });
    expect([again.status, (await json(again)).detail]).toEqual([409, 'already acknowledged by the safety-officer']);
    for (let step = 1; step <= 40; step += 1) {
      clock.set(NOW + step * 9_000);
      await send({ 'breathing-air-co': 2 });
    }
    expect((await call('POST', `/api/alarms/${alarm.id}/reset`, { cookie })).status).toBe(409);
    expect(await json(await call('POST', `/api/alarms/${alarm.id}/confirm-out`, { cookie }))).toEqual({ id: alarm.id, state: 'latched-acknowledged' });
    expect(await json(await call('POST', `/api/alarms/${alarm.id}/reset`, { cookie }))).toEqual({ id: alarm.id, state: 'normal' });
    const journal = (await json(await call('GET', `/api/journal?alarm=${alarm.id}`, { cookie }))).items;
    expect(journal.filter((item: any) => item.kind === 'alarm').map((item: any) => item.detail.to)).toEqual(['normal', 'latched-acknowledged', 'latched-acknowledged', 'acknowledged', 'unacknowledged']);
    expect(journal.find((item: any) => item.kind === 'action' && item.detail.kind === 'acknowledge').detail).toMatchObject({ by: 'the safety-officer', role: 'safety-officer' });
  });

  it('pages through the journal without losing or repeating a line', async () => {
    const { call, send, signIn } = await testServer();
    const cookie = await signIn('supervisor');
    await send({ 'breathing-air-co': 12.5 });
    for (const rig of ['rig-a', 'rig-b', 'rig-a', 'rig-b']) await call('POST', '/api/shifts', { cookie, body: { rig } });
    const all = (await json(await call('GET', '/api/journal?limit=100', { cookie }))).items.map((item: any) => item.id);
    const paged: string[] = [];
    for (let next: string | null = ''; next !== null; ) {
      const page: any = await json(await call('GET', `/api/journal?limit=2${next ? `&cursor=${next}` : ''}`, { cookie }));
      paged.push(...page.items.map((item: any) => item.id));
      next = page.next;
    }
    expect(paged).toEqual(all);
    expect(all.length).toBeGreaterThan(5);
  });

  it('starts and ends a shift, once', async () => {
    const { call, signIn } = await testServer();
    const cookie = await signIn('supervisor');
    const started = await call('POST', '/api/shifts', { cookie, body: { rig: 'rig-a' } });
    const shift = await json(started);
    expect([started.status, shift.rig, shift.startedBy, shift.endedAt]).toEqual([201, 'rig-a', 'the supervisor', null]);
    expect((await call('POST', '/api/shifts', { cookie, body: { rig: 'rig-a' } })).status).toBe(409);
    expect((await json(await call('POST', `/api/shifts/${shift.id}/end`, { cookie }))).endedAt).toBe('2026-06-01T12:00:00.000Z');
    expect((await call('POST', `/api/shifts/${shift.id}/end`, { cookie })).status).toBe(409);
    expect(await json(await call('GET', `/api/shifts/${shift.id}`, { cookie }))).toMatchObject({ endedAt: '2026-06-01T12:00:00.000Z' });
  });

  it('draws history with its gaps, computed points too', async () => {
    const { call, send, signIn, clock } = await testServer();
    const cookie = await signIn('viewer');
    for (let second = 0; second < 20; second += 1) {
      clock.set(NOW + second * 1000);
      await send({ 'nozzle-pressure': 95 + (second % 2), 'supply-pressure': 105 });
    }
    const from = new Date(NOW - 60_000).toISOString();
    const trace = await json(await call('GET', `/api/rigs/rig-a/trace?points=nozzle-pressure,line-loss&from=${from}&width=500`, { cookie }));
    const [nozzle, loss] = trace.series;
    expect([nozzle.id, Math.min(...nozzle.min), Math.max(...nozzle.max)]).toEqual(['nozzle-pressure', 95, 96]);
    expect(loss.max.every((value: number) => value === 9 || value === 10)).toBe(true);
    expect(loss.atMs.length).toBeGreaterThan(15);
  });

  it('describes itself', async () => {
    const { call } = await testServer();
    const { openapi, paths } = await json(await call('GET', '/api/openapi.json'));
    expect(openapi).toMatch(/^3\./);
    expect(Object.keys(paths)).toEqual(expect.arrayContaining(['/api/session', '/api/sites', '/api/rigs', '/api/rigs/{rig}/points', '/api/alarms', '/api/alarms/{id}/acknowledge', '/api/journal', '/api/shifts', '/api/shifts/{id}/trace', '/api/health']));
  });
});

describe('what is refused', () => {
  it.each<[string, string, unknown, number, RegExp]>([
    ['an unknown field', '/api/shifts', { rig: 'rig-a', crew: 5 }, 400, /crew/],
    ['a missing field', '/api/shifts', {}, 400, /rig/],
    ['a rig that is not there', '/api/shifts', { rig: 'rig-z' }, 404, /there is no rig "rig-z"/],
    ['an alarm that is not there', '/api/alarms/nope/acknowledge', {}, 404, /there is no alarm "nope"/],
  ])('%s', async (_name, path, body, status, detail) => {
    const { call, signIn } = await testServer();
    const response = await call('POST', path, { cookie: await signIn('supervisor'), body });
    expect([response.status, (await json(response)).detail]).toEqual([status, expect.stringMatching(detail)]);
  });

  it('a trace of nonsense', async () => {
    const { call, signIn } = await testServer();
    const cookie = await signIn('viewer');
    for (const query of ['points=nope', 'points=supply-pressure&from=yesterday', 'points=supply-pressure&width=5', 'points=supply-pressure&from=2026-06-02T00:00:00Z', 'points=supply-pressure&from=2020-01-01T00:00:00Z']) {
      expect([query, (await call('GET', `/api/rigs/rig-a/trace?${query}`, { cookie })).status]).toEqual([query, expect.toSatisfy((status: number) => status === 400 || status === 404)]);
    }
  });

  it('a body that is not JSON', async () => {
    const { server } = await testServer();
    const response = await fetch(`${server.url}/api/session`, { method: 'POST', headers: { 'content-type': 'text/plain' }, body: '{"name":"x","password":"y"}' });
    expect(response.status).toBe(415);
  });
});

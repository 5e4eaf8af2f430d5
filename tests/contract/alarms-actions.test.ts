import { describe, expect, it } from 'vitest';
import { NOW, type TestServer, testServer } from '../support/server.ts';

const json = async (response: Response): Promise<any> => response.json();

async function withCo(): Promise<TestServer & { id: string }> {
  const test = await testServer();
  await test.send({ 'breathing-air-co': 12.5, 'supply-pressure': 122 });
  const { items } = await json(await test.call('GET', '/api/alarms', { cookie: await test.signIn('viewer') }));
  return { ...test, id: items.find((alarm: any) => alarm.name === 'co-high').id };
}

const find = async (test: TestServer, cookie: string, name: string): Promise<any> => (await json(await test.call('GET', '/api/alarms', { cookie }))).items.find((alarm: any) => alarm.name === name);

describe('acknowledging', () => {
  it('away from the rig leaves the rig to be silenced there; the first name stands', async () => {
    const test = await withCo();
    const [officer, tender] = [await test.signIn('safety-officer'), await test.signIn('tender')];
    await test.call('POST', `/api/alarms/${test.id}/acknowledge`, { cookie: officer });
    expect(await find(test, officer, 'co-high')).toMatchObject({ state: 'acknowledged', acknowledgedBy: 'the safety-officer', silencedAtRig: false, out: 'awaited', sound: 'air' });
    expect((await test.call('POST', `/api/alarms/${test.id}/acknowledge`, { cookie: tender })).status).toBe(200);
    expect(await find(test, officer, 'co-high')).toMatchObject({ acknowledgedBy: 'the safety-officer', silencedAtRig: true, silencedAtRigBy: 'the tender' });
    expect((await test.call('POST', `/api/alarms/${test.id}/acknowledge`, { cookie: tender })).status).toBe(409);
  });

  it('by a supervisor counts at the rig only from the device there; a safety officer can’t claim to be there', async () => {
    const test = await withCo();
    const [supervisor, officer] = [await test.signIn('supervisor'), await test.signIn('safety-officer')];
    await test.call('POST', `/api/alarms/${test.id}/acknowledge`, { cookie: officer, body: { atRig: true } });
    expect(await find(test, officer, 'co-high')).toMatchObject({ silencedAtRig: false });
    await test.call('POST', `/api/alarms/${test.id}/acknowledge`, { cookie: supervisor, body: { atRig: true } });
    expect(await find(test, officer, 'co-high')).toMatchObject({ silencedAtRig: true });
  });

  it('is for those who may, and the second word too', async () => {
    const test = await withCo();
    const [viewer, manager, tender] = [await test.signIn('viewer'), await test.signIn('manager'), await test.signIn('tender')];
    for (const cookie of [viewer, manager]) for (const what of ['acknowledge', 'confirm-out', 'reset', 'unshelve', 'in-service']) expect([what, (await test.call('POST', `/api/alarms/${test.id}/${what}`, { cookie })).status]).toEqual([what, 403]);
    expect((await test.call('POST', `/api/alarms/${test.id}/reset`, { cookie: tender })).status).toBe(403);
    expect(await json(await test.call('POST', `/api/alarms/${test.id}/confirm-out`, { cookie: tender }))).toEqual({ id: test.id, state: 'unacknowledged' });
    expect((await test.call('POST', `/api/alarms/${test.id}/confirm-out`, { cookie: tender })).status).toBe(409);
  });

  it('twice with one key, at once, is done once and answered alike', async () => {
    const test = await withCo();
    const cookie = await test.signIn('supervisor');
    const ask = () => test.call('POST', `/api/alarms/${test.id}/acknowledge`, { cookie, headers: { 'idempotency-key': 'tap-0000001' } });
    const answers = await Promise.all([ask(), ask(), ask()]);
    expect(answers.map(({ status }) => status)).toEqual([200, 200, 200]);
    const journal = (await json(await test.call('GET', `/api/journal?alarm=${test.id}`, { cookie }))).items;
    expect(journal.filter((item: any) => item.kind === 'action')).toHaveLength(1);
  });
});

describe('setting aside', () => {
  const shelf = { reason: 'sensor-faulty', text: 'the cell is wet', minutes: 30 };

  it('shelves with reason, text and end, lists it, and brings it back by itself', async () => {
    const test = await testServer();
    const cookie = await test.signIn('supervisor');
    await test.send({ 'supply-pressure': 122 });
    test.clock.set(NOW + 11_000);
    await test.send({ 'supply-pressure': 122 });
    const { id } = await find(test, cookie, 'near-vessel-rating');
    expect(await json(await test.call('POST', `/api/alarms/${id}/shelve`, { cookie, body: shelf }))).toEqual({ id, state: 'shelved' });
    expect(await find(test, cookie, 'near-vessel-rating')).toMatchObject({ state: 'shelved', sound: 'none', shelved: { until: '2026-06-01T12:30:11.000Z', by: 'the supervisor', reason: 'sensor-faulty', text: 'the cell is wet', approvedBy: null } });
    test.clock.set(NOW + 1_811_000);
    await test.send({ 'supply-pressure': 122 });
    expect(await find(test, cookie, 'near-vessel-rating')).toMatchObject({ id, state: 'unacknowledged', shelved: null });
    const journal = (await json(await test.call('GET', `/api/journal?alarm=${id}`, { cookie }))).items.map((item: any) => item.text);
    expect(journal).toEqual([expect.stringContaining('off the shelf, announced anew'), expect.stringContaining('shelved by the supervisor'), expect.stringContaining('the cell is wet'), expect.stringContaining('122 psi, limit 120')]);
  });

  it('does not let a supervisor shelve CO; a safety officer may', async () => {
    const test = await withCo();
    expect((await test.call('POST', `/api/alarms/${test.id}/shelve`, { cookie: await test.signIn('supervisor'), body: shelf })).status).toBe(403);
    expect((await test.call('POST', `/api/alarms/${test.id}/shelve`, { cookie: await test.signIn('administrator'), body: shelf })).status).toBe(403);
    expect((await test.call('POST', `/api/alarms/${test.id}/shelve`, { cookie: await test.signIn('safety-officer'), body: shelf })).status).toBe(200);
  });

  it('shelves a quiet alarm by its key', async () => {
    const test = await testServer();
    const cookie = await test.signIn('supervisor');
    const path = `/api/alarms/${encodeURIComponent('near-vessel-rating@rig-a/supply-pressure')}/shelve`;
    expect(await json(await test.call('POST', path, { cookie, body: shelf }))).toMatchObject({ state: 'shelved' });
    expect((await test.call('POST', path, { cookie, body: shelf })).status).toBe(409);
  });

  it.each([
    ['no reason', { ...shelf, reason: 'because' }],
    ['no words', { ...shelf, text: '  ' }],
    ['more than a shift', { ...shelf, minutes: 721 }],
    ['no end', { reason: 'nuisance', text: 'x' }],
  ])('refuses a shelf with %s', async (_name, body) => {
    const test = await withCo();
    expect((await test.call('POST', `/api/alarms/${test.id}/shelve`, { cookie: await test.signIn('safety-officer'), body })).status).toBe(400);
  });

  it('takes out of service with an approval by somebody who may, and an end', async () => {
    const test = await withCo();
    const cookie = await test.signIn('safety-officer');
    await test.signIn('manager');
    const body = { until: '2026-06-03T12:00:00Z', approvedBy: 'the manager', text: 'the panel is away for calibration' };
    const ask = (change: object) => test.call('POST', `/api/alarms/${test.id}/out-of-service`, { cookie, body: { ...body, ...change } });
    expect((await ask({ approvedBy: 'nobody known' })).status).toBe(400);
    expect((await ask({ approvedBy: 'the safety-officer' })).status).toBe(409);
    expect((await ask({ until: '2026-05-01T12:00:00Z' })).status).toBe(409);
    expect(await json(await ask({}))).toEqual({ id: test.id, state: 'out-of-service' });
    expect(await find(test, cookie, 'co-high')).toMatchObject({ state: 'out-of-service', outOfService: { until: '2026-06-03T12:00:00.000Z', approvedBy: 'the manager' } });
    expect(await json(await test.call('POST', `/api/alarms/${test.id}/in-service`, { cookie }))).toEqual({ id: test.id, state: 'unacknowledged' });
    expect((await test.call('POST', `/api/alarms/${test.id}/out-of-service`, { cookie: await test.signIn('supervisor'), body })).status).toBe(403);
  });
});

describe('what people tell of a rig', () => {
  it('logs who is under the hood, on one rig at a time, and shows it', async () => {
    const test = await testServer();
    const cookie = await test.signIn('tender');
    expect(await json(await test.call('POST', '/api/rigs/rig-a/hood-in', { cookie, body: { name: 'Ray' } }))).toEqual({ rig: 'rig-a', underHood: [{ name: 'Ray', since: '2026-06-01T12:00:00.000Z' }], bumpTestUntil: null });
    const elsewhere = await test.call('POST', '/api/rigs/rig-b/hood-in', { cookie, body: { name: 'Ray' } });
    expect([elsewhere.status, (await json(elsewhere)).detail]).toEqual([409, 'Ray is logged under a hood on rig-a: log out there first']);
    expect((await test.call('POST', '/api/rigs/rig-a/bump-test', { cookie, body: {} })).status).toBe(409);
    expect((await json(await test.call('POST', '/api/rigs/rig-a/hood-out', { cookie, body: { name: 'Ray' } }))).underHood).toEqual([]);
    expect((await json(await test.call('POST', '/api/rigs/rig-a/bump-test', { cookie, body: { minutes: 5 } }))).bumpTestUntil).toBe('2026-06-01T12:05:00.000Z');
    expect((await test.call('POST', '/api/rigs/rig-a/bump-test', { cookie, body: { minutes: 11 } })).status).toBe(400);
    expect((await test.call('POST', '/api/rigs/rig-z/hood-in', { cookie, body: { name: 'Ray' } })).status).toBe(404);
    expect((await test.call('POST', '/api/rigs/rig-a/hood-in', { cookie: await test.signIn('viewer'), body: { name: 'Ray' } })).status).toBe(403);
  });

  it('keeps readings by hand in the journal, with their place', async () => {
    const test = await testServer();
    const cookie = await test.signIn('tender');
    await test.call('POST', '/api/rigs/rig-a/entries', { cookie, body: { kind: 'spot', value: 14.5, place: 'inside the flange', text: 'north side' } });
    const [item] = (await json(await test.call('GET', '/api/journal?rig=rig-a', { cookie }))).items;
    expect(item).toMatchObject({ kind: 'action', rig: 'rig-a', text: 'spot, 14.5, inside the flange, north side by the tender', detail: { kind: 'entry', entry: 'spot', value: 14.5 } });
    expect((await test.call('POST', '/api/rigs/rig-a/entries', { cookie, body: { kind: 'guess', value: 1 } })).status).toBe(400);
  });
});

describe('metrics', () => {
  it('over a period, for the site and for a rig', async () => {
    const test = await withCo();
    const cookie = await test.signIn('supervisor');
    test.clock.set(NOW + 30_000);
    await test.call('POST', `/api/alarms/${test.id}/acknowledge`, { cookie });
    test.clock.set(NOW + 3_600_000);
    const [site] = (await json(await test.call('GET', '/api/alarms/metrics?from=2026-06-01T12:00:00Z&to=2026-06-01T13:00:00Z', { cookie }))).items;
    expect(site).toMatchObject({ site: 'pier-9', rig: null, peakTenMin: expect.any(Number), acknowledged: 1, medianToAcknowledgeMs: 30_000, byPriority: { critical: 1 } });
    const [other] = (await json(await test.call('GET', '/api/alarms/metrics?rig=rig-b', { cookie }))).items;
    expect(other).toMatchObject({ rig: 'rig-b', annunciated: 0 });
    expect((await test.call('GET', '/api/alarms/metrics?from=2026-06-02T12:00:00Z&to=2026-06-01T13:00:00Z', { cookie })).status).toBe(400);
    expect((await test.call('GET', '/api/alarms/metrics')).status).toBe(401);
  });
});

it('the API describes all of it', async () => {
  const { call } = await testServer();
  const { paths } = await json(await call('GET', '/api/openapi.json'));
  const actions = ['acknowledge', 'confirm-out', 'reset', 'shelve', 'unshelve', 'out-of-service', 'in-service'].map((what) => `/api/alarms/{id}/${what}`);
  expect(Object.keys(paths)).toEqual(expect.arrayContaining([...actions, '/api/alarms/metrics', ...['hood-in', 'hood-out', 'bump-test', 'entries'].map((what) => `/api/rigs/{rig}/${what}`)]));
});

import { describe, expect, it } from 'vitest';
import { NOW, testServer } from '../support/server.ts';

const at = (ms: number): string => new Date(ms).toISOString();
const HOUR = 3_600_000;
const DAY = 24 * HOUR;

async function recording(role = 'tender') {
  const test = await testServer();
  const cookie = await test.signIn(role);
  await test.send({ 'breathing-air-co': 2, 'breathing-air-pressure': 60 });
  const post = (what: string, body: unknown, headers: Record<string, string> = {}) => test.call('POST', `/api/rigs/rig-a/${what}`, { cookie, body, headers });
  const get = async (path: string): Promise<any> => (await test.call('GET', path, { cookie })).json();
  const due = async (entry: string): Promise<unknown> => (await get('/api/rigs/rig-a/due')).items.find((item: { entry: string }) => item.entry === entry);
  return { ...test, cookie, post, get, due };
}

const CERTIFICATE = { point: 'breathing-air-co', certificate: 'C-17', doneAt: at(NOW - 10 * DAY), dueAt: at(NOW + 170 * DAY), asFound: { value: 53, unit: '[ppm]' }, asLeft: { value: 50, unit: '[ppm]' }, note: 'cell 3' };

describe('a calibration record', () => {
  it('is kept with its due date, which /due counts, and stands in the journal and on the shift', async () => {
    const { post, get, due, call, cookie, signIn } = await recording();
    const supervisor = await signIn('supervisor');
    const shift = ((await (await call('POST', '/api/shifts', { cookie: supervisor, body: { rig: 'rig-a' } })).json()) as { id: string }).id;
    expect((await post('calibrations', CERTIFICATE)).status).toBe(200);
    const record = { point: 'breathing-air-co', certificate: 'C-17', doneAt: CERTIFICATE.doneAt, dueAt: CERTIFICATE.dueAt, overdue: false, asFound: { value: 53, unit: '[ppm]' }, asLeft: { value: 50, unit: '[ppm]' }, doneBy: 'the tender', toldAt: at(NOW), toldBy: 'the tender', note: 'cell 3' };
    expect(await get('/api/rigs/rig-a/calibrations')).toEqual({ items: [record], history: [record], next: null });
    expect(await due('calibration-done')).toMatchObject({ doneAt: CERTIFICATE.doneAt, dueAt: CERTIFICATE.dueAt, doneBy: 'the tender', overdue: false });
    const said = 'Carbon monoxide, breathing air: certificate C-17, done 2026-05-22, due 2026-11-18, found at 53 ppm, left at 50 ppm, cell 3';
    expect((await get('/api/journal?rig=rig-a&limit=1')).items[0]).toMatchObject({ kind: 'action', text: `calibration of ${said} by the tender` });
    const entries = (await (await call('GET', `/api/shifts/${shift}/entries`, { cookie })).json()) as { items: unknown[] };
    expect(JSON.stringify(entries)).toContain(said);
  });

  it('of another sensor leaves the monitor’s due date alone; values come in any unit of their dimension', async () => {
    const { post, get, due } = await recording();
    expect((await post('calibrations', { ...CERTIFICATE, point: 'nozzle-pressure', asFound: { value: 7, unit: 'bar' }, asLeft: null })).status).toBe(200);
    expect((await get('/api/rigs/rig-a/calibrations')).items).toMatchObject([{ point: 'nozzle-pressure', asFound: { value: 101.5, unit: '[psi]' }, asLeft: null }]);
    expect(await due('calibration-done')).toMatchObject({ doneAt: null });
  });

  it('told late goes into the history, and the newest still counts', async () => {
    const { post, get, due } = await recording();
    await post('calibrations', CERTIFICATE);
    await post('calibrations', { ...CERTIFICATE, certificate: 'C-9', doneAt: at(NOW - 300 * DAY), dueAt: at(NOW - 120 * DAY) });
    const { items, history } = await get('/api/rigs/rig-a/calibrations');
    expect(items.map(({ certificate }: { certificate: string }) => certificate)).toEqual(['C-17']);
    expect(history.map(({ certificate, overdue }: { certificate: string; overdue: boolean }) => [certificate, overdue])).toEqual([['C-17', false], ['C-9', true]]);
    expect(await due('calibration-done')).toMatchObject({ dueAt: CERTIFICATE.dueAt });
  });

  it('with the same key is done once; the same certificate again is refused with the reason', async () => {
    const { post, get } = await recording();
    const key = { 'idempotency-key': 'calibration-1' };
    expect((await post('calibrations', CERTIFICATE, key)).status).toBe(200);
    expect((await post('calibrations', CERTIFICATE, key)).status).toBe(200);
    const again = await post('calibrations', CERTIFICATE);
    expect([again.status, await again.json()]).toMatchObject([409, { detail: 'breathing-air-co: already recorded by the tender, for the same time' }]);
    expect((await get('/api/rigs/rig-a/calibrations')).history).toHaveLength(1);
  });

  it.each([
    [{ point: 'co' }, 'point: found "co", expected a measured point with a number, e.g. breathing-air-co'],
    [{ point: 'line-loss-residual' }, 'point: found "line-loss-residual", expected a measured point'],
    [{ doneAt: at(NOW + HOUR) }, 'doneAt: lies in the future'],
    [{ dueAt: at(NOW - 11 * DAY) }, 'dueAt: lies before doneAt'],
    [{ dueAt: at(NOW + 4000 * DAY) }, 'dueAt: lies more than 10 years after doneAt'],
    [{ asFound: { value: 5, unit: 'bar' } }, 'asFound: found the unit "bar", expected one of fraction, e.g. [ppm]'],
    [{ asLeft: { value: 1, unit: '1' } }, 'asLeft: found'],
  ])('that can’t be is refused: %j', async (change, reason) => {
    const { post, get } = await recording();
    const answer = await post('calibrations', { ...CERTIFICATE, ...change });
    expect([answer.status, ((await answer.json()) as { detail: string }).detail]).toEqual([409, expect.stringContaining(reason)]);
    expect((await get('/api/rigs/rig-a/calibrations')).items).toEqual([]);
  });
});

describe('a bump-test record', () => {
  it('that passed counts as done, by whom it was done; one that failed makes it due at once', async () => {
    const { post, get, due, clock } = await recording();
    const gas = { value: 50, unit: '[ppm]' };
    expect((await post('bump-tests', { gas, passed: true, doneBy: 'Kim' })).status).toBe(200);
    expect(await due('bump-done')).toMatchObject({ doneAt: at(NOW), doneBy: 'Kim', dueAt: at(NOW + DAY) });
    expect((await get('/api/journal?rig=rig-a&limit=1')).items[0]).toMatchObject({ text: 'bump test of Carbon monoxide, breathing air: passed, gas of 50 ppm, done by Kim by the tender' });
    clock.set(NOW + HOUR);
    expect((await post('bump-tests', { gas, passed: false, note: 'alarm not heard' })).status).toBe(200);
    expect(await due('bump-done')).toMatchObject({ doneAt: null, dueAt: null });
    const { items, history } = await get('/api/rigs/rig-a/bump-tests');
    expect(items).toEqual([{ point: 'breathing-air-co', gas, passed: false, doneAt: at(NOW + HOUR), doneBy: 'the tender', toldAt: at(NOW + HOUR), toldBy: 'the tender', note: 'alarm not heard' }]);
    expect(history.map(({ passed }: { passed: boolean }) => passed)).toEqual([false, true]);
  });

  it('is of a gas monitor, with a concentration that can be', async () => {
    const { post } = await recording();
    expect((await post('bump-tests', { point: 'nozzle-pressure', gas: { value: 7, unit: 'bar' }, passed: true })).status).toBe(409);
    expect((await post('bump-tests', { gas: { value: 90_000, unit: '[ppm]' }, passed: true })).status).toBe(409);
    expect((await post('bump-tests', { passed: true })).status).toBe(400);
  });
});

it('records of a rig that is not there are not found, and a viewer only reads', async () => {
  const { call, cookie, post } = await recording('viewer');
  expect((await call('GET', '/api/rigs/rig-z/calibrations', { cookie })).status).toBe(404);
  expect((await call('GET', '/api/rigs/rig-z/bump-tests', { cookie })).status).toBe(404);
  expect((await post('calibrations', CERTIFICATE)).status).toBe(403);
});

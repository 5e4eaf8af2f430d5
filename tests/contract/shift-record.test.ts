import { spawnSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { verifyBundle } from '../../server/bundle/verify-bundle.ts';
import { readRecordKey } from '../../server/bundle/record-key.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import { openSqliteStore } from '../../server/record/sqlite-store.ts';
import { QUIET, until } from '../support/quiet.ts';
import { NOW, testServer, type TestServer } from '../support/server.ts';

const json = async (response: Response): Promise<any> => response.json();
const bytesOf = async (response: Response): Promise<Buffer> => Buffer.from(await response.arrayBuffer());

interface Crew {
  readonly server: TestServer;
  readonly supervisor: string;
  readonly tender: string;
  readonly safety: string;
  readonly manager: string;
}

async function crew(server: TestServer): Promise<Crew> {
  const [supervisor = '', tender = '', safety = '', manager = ''] = await Promise.all(['supervisor', 'tender', 'safety-officer', 'manager'].map((role) => server.signIn(role)));
  return { server, supervisor, tender, safety, manager };
}

/** Twenty minutes of work with an alarm, a note and a handover, ended; answers with the shift's id. */
async function workShift({ server, supervisor, tender }: Crew): Promise<string> {
  const post = (path: string, cookie: string, body: unknown = undefined): Promise<Response> => server.call('POST', path, { cookie, ...(body === undefined ? {} : { body }) });
  const { id } = await json(await post('/api/shifts', supervisor, { rig: 'rig-a', crew: [{ name: 'Ray', job: 'blaster' }], setup: { nozzleBore: { value: 0.4375, unit: '[in_i]' }, abrasive: 'garnet' } }));
  await post('/api/rigs/rig-a/hood-in', tender, { name: 'Ray' });
  for (let step = 1; step <= 120; step += 1) {
    server.clock.set(NOW + step * 10_000);
    await server.send({ 'nozzle-pressure': step % 20 < 3 ? 0 : 95 + (step % 4), 'supply-pressure': 110, 'breathing-air-co': step >= 60 && step < 70 ? 14 : 2, 'breathing-air-pressure': 60, 'remote-control': step % 20 < 3 ? 0 : 1 });
    if (step === 62) {
      const [alarm] = (await json(await server.call('GET', '/api/alarms', { cookie: tender }))).items.filter((one: any) => one.name === 'co-high');
      await post(`/api/alarms/${alarm.id}/acknowledge`, tender);
      await post(`/api/alarms/${alarm.id}/confirm-out`, tender);
    }
    if (step === 80) await post(`/api/shifts/${id}/notes`, tender, { text: 'exhaust turned away from the intake', point: 'breathing-air-co' });
  }
  await post(`/api/shifts/${id}/handover`, supervisor, { to: 'Lee', text: 'half of bay 3 is done' });
  expect((await post(`/api/shifts/${id}/end`, supervisor)).status).toBe(200);
  return id;
}

describe('the life of a shift', () => {
  it('is started, worked, alarmed, noted, handed over, ended, signed by two, reported, recorded, verified, corrected, and found again by the manager', async () => {
    const people = await crew(await testServer());
    const { server, supervisor, tender, safety, manager } = people;
    const id = await workShift(people);
    const at = `/api/shifts/${id}`;
    const card = async (): Promise<any> => (await json(await server.call('GET', '/api/shifts?search=garnet', { cookie: manager }))).items[0];
    await until(async () => (await card()).headline !== null, 'the headline');
    expect(await card()).toMatchObject({ id, state: 'ended', headline: { coMax: { value: 14, unit: '[ppm]' }, nozzleMedian: { value: 97, unit: '[psi]' }, boreStart: { value: 11.11, unit: 'mm' } } });

    const once = await json(await server.call('POST', `${at}/sign-off`, { cookie: supervisor, body: { meaning: 'checked and complete' } }));
    expect([once.state, once.seal]).toEqual(['signed-once', null]);
    const again = await server.call('POST', `${at}/sign-off`, { cookie: supervisor, body: { meaning: 'approved' } });
    expect([again.status, (await json(again)).detail]).toEqual([409, 'you have signed it already: the second signature is somebody else’s']);
    const sealed = await json(await server.call('POST', `${at}/sign-off`, { cookie: safety, body: { meaning: 'approved' } }));
    const { fingerprint } = readRecordKey(server.dataDir);
    expect(sealed).toMatchObject({ state: 'sealed', signOffs: [{ name: 'the supervisor', role: 'supervisor', meaning: 'checked and complete' }, { name: 'the safety-officer', role: 'safety-officer', meaning: 'approved' }], seal: { root: expect.stringMatching(/^[0-9a-f]{64}$/), key: fingerprint } });

    const record = await bytesOf(await server.call('GET', `${at}/record.zip`, { cookie: manager }));
    expect(await verifyBundle(record, { key: fingerprint })).toEqual({ faults: [], key: fingerprint, corrections: 0, chain: { links: 0, confirmed: 0 }, statement: expect.objectContaining({ kind: 'seal', shift: id, root: sealed.seal.root }) });
    expect((await bytesOf(await server.call('GET', `${at}/record.zip`, { cookie: manager }))).equals(record)).toBe(true);
    const report = await server.call('GET', `${at}/report.pdf`, { cookie: manager });
    expect([report.headers.get('content-type'), (await bytesOf(report)).subarray(0, 5).toString()]).toEqual(['application/pdf', '%PDF-']);

    // The sealed one whatever its language is called; another language is a translation, as long as the record gives what was sealed.
    const inLanguage = (language: string): Promise<Response> => server.call('GET', `${at}/report.pdf?language=${language}`, { cookie: manager });
    const asSealed = await bytesOf(await server.call('GET', `${at}/report.pdf`, { cookie: manager }));
    expect((await bytesOf(await inLanguage('en'))).equals(asSealed)).toBe(true);
    const translated = spawnSync('pdftotext', ['-', '-'], { input: await bytesOf(await inLanguage('es')), encoding: 'utf8' }).stdout.replaceAll(/\s+/g, ' ');
    expect(translated).toContain('Esto es una traducción');
    expect(translated.replaceAll(' ', '')).toContain(sealed.seal.root);
    expect((await inLanguage('xx')).status).toBe(400);

    expect((await server.call('POST', `${at}/notes`, { cookie: tender, body: { text: 'too late' } })).status).toBe(409);
    const [note] = sealed.notes;
    const corrected = await json(await server.call('POST', `${at}/corrections`, { cookie: manager, body: { of: note.id, text: 'it was turned at noon' } }));
    expect(corrected.corrections).toEqual([{ at: expect.any(String), by: 'the manager', of: note.id, text: 'it was turned at noon' }]);
    const added = await bytesOf(await server.call('GET', `${at}/record.zip`, { cookie: manager }));
    expect(await verifyBundle(added, { key: fingerprint })).toMatchObject({ faults: [], corrections: 1, statement: { root: sealed.seal.root } });

    const summary = await json(await server.call('GET', `${at}/summary`, { cookie: manager }));
    expect(summary).toMatchObject({ shift: id, coMax: { value: 14 }, people: [{ name: 'Ray', highest: { value: 14, unit: '[ppm]' } }], work: { cyclesFrom: 'handle' } });
    expect(summary.coverage.find((one: any) => one.point === 'nozzle-pressure')).toMatchObject({ owner: 'rig-a', fraction: expect.any(Number), gaps: [] });
    const csv = (await bytesOf(await server.call('GET', `${at}/trace.csv?points=breathing-air-co`, { cookie: manager }))).toString();
    expect(csv.split('\r\n')[1]).toBe('2026-06-01T12:00:10.000Z,2026-06-01T07:00:10.000-05:00,rig-a,breathing-air-co,2,[ppm],good,,false,2026-06-01T12:00:10.000Z,3');
    const parquet = await bytesOf(await server.call('GET', `${at}/trace.parquet`, { cookie: manager }));
    expect(parquet.subarray(0, 4).toString()).toBe('PAR1');
    const found = (await json(await server.call('GET', '/api/shifts?state=sealed&search=bay%20lee', { cookie: manager }))).items;
    expect(found.map((one: any) => one.id)).toEqual([id]);
    const texts = (await json(await server.call('GET', '/api/journal?limit=500', { cookie: manager }))).items.map((item: any) => item.text);
    const writer = server.server.writer('pier-9');
    const config = writer?.state.config;
    if (!writer || !config) throw new Error('no site');
    await writer.configure({ ...config, rigs: config.rigs.map((rig) => ({ ...rig, wanted: { low: 1, high: 2 } })) });
    const refused = await inLanguage('es');
    expect([refused.status, (await json(refused)).detail]).toEqual([409, expect.stringContaining('no longer to be had in another language')]);
    expect((await bytesOf(await inLanguage('en'))).equals(asSealed)).toBe(true);
    // A machine that kept the program waiting for seconds is told there too.
    expect(texts.filter((text: string) => !/refused|^Nothing was heard/.test(text)).slice(0, 2)).toEqual([`correction of ${note.id}, after the seal: it was turned at noon by the manager`, `${id} sealed, root ${sealed.seal.root.slice(0, 16)}, key ${fingerprint.slice(0, 16)} by potside`]);
  });

  it('goes on with a shift that was signed when the program was killed before the seal', async () => {
    const first = await crew(await testServer());
    const id = await workShift(first);
    await first.server.call('POST', `/api/shifts/${id}/sign-off`, { cookie: first.supervisor, body: { meaning: 'approved' } });
    // As a killed process leaves it: the second signature is in the record, and nobody was told.
    await first.server.server.stop();
    const { store } = openSqliteStore(`${first.server.dataDir}/record.db`);
    const lone = await SiteWriter.open({ siteId: 'pier-9', store, clock: first.server.clock, log: QUIET, onCommitted: () => undefined });
    await lone.act({ kind: 'sign-off', shift: id, meaning: 'approved', by: 'kim', role: 'manager', from: 'test', key: 'last-act' });
    expect(lone.state.unsealedShifts.map((shift) => shift.id)).toEqual([id]);
    await lone.stop();
    await store.close();

    const second = await testServer(first.server.dataDir, first.server.clock);
    const read = async (): Promise<any> => json(await second.call('GET', `/api/shifts/${id}`, { cookie: first.supervisor }));
    await until(async () => (await read()).state === 'sealed', 'the seal', 20_000);
    const record = await bytesOf(await second.call('GET', `/api/shifts/${id}/record.zip`, { cookie: first.supervisor }));
    expect((await verifyBundle(record)).faults).toEqual([]);
  });

  it('gives out an interim record of an open shift, marked as such', async () => {
    const server = await testServer();
    const cookie = await server.signIn('supervisor');
    const { id } = await json(await server.call('POST', '/api/shifts', { cookie, body: { rig: 'rig-a' } }));
    server.clock.set(NOW + 5_000);
    await server.send({ 'breathing-air-co': 2 });
    const record = await bytesOf(await server.call('GET', `/api/shifts/${id}/record.zip`, { cookie }));
    expect(await verifyBundle(record)).toMatchObject({ faults: [], statement: { kind: 'interim', shift: id } });
    expect((await bytesOf(await server.call('GET', `/api/shifts/${id}/report.pdf`, { cookie }))).length).toBeGreaterThan(5_000);
  });
});

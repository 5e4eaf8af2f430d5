import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { unzipSync, zipSync } from 'fflate';
import { parquetWriteBuffer } from 'hyparquet-writer';
import { expect, it } from 'vitest';
import { createSimulation } from '../../simulator/simulation.ts';
import { sealedRecord } from '../support/sealed-record.ts';
import { addSupervisor, mosquittoPub, runPotside, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { NOW, testServer } from '../support/server.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

const SHIFT = 'pier-9-77-1';
const START = Date.UTC(2026, 2, 3, 9);

/** A record with half a minute in it: CO goes to 31.5 ppm on the way, and one message could not be read. */
function recordFile(dir: string): string {
  const seconds = Array.from({ length: 30 }, (_, second) => second);
  const column = <T>(of: (second: number) => T): T[] => seconds.map(of);
  const readings = parquetWriteBuffer({
    columnData: [
      { name: 'time', data: column((second) => new Date(START + second * 1000)), type: 'TIMESTAMP' },
      { name: 'owner', data: column(() => 'rig-a'), type: 'STRING' },
      { name: 'point', data: column(() => 'breathing-air-co'), type: 'STRING' },
      { name: 'value', data: column((second) => (second === 20 ? null : second === 10 ? 31.5 : 2)), type: 'DOUBLE' },
      { name: 'received', data: column((second) => new Date(START + second * 1000 + 40)), type: 'TIMESTAMP' },
    ],
  });
  const file = join(dir, 'record.zip');
  writeFileSync(file, zipSync({ 'shift.json': Buffer.from(JSON.stringify({ id: SHIFT, site: 'pier-9' })), 'readings.parquet': new Uint8Array(readings) }));
  return file;
}

async function serve(dir: string, yaml: string): Promise<Awaited<ReturnType<typeof startPotside>>> {
  const [dataDir, config] = [join(dir, 'data'), join(dir, 'site.yaml')];
  writeFileSync(config, yaml);
  addSupervisor(dataDir);
  return startPotside('serve', '--config', config, '--data', dataDir, '--port', '0', '--mqtt-port', '0');
}

it('is refused where readings are real, reading by reading too', async () => {
  const dir = tempDir();
  const running = await serve(dir, SITE_YAML);
  const { code, err } = runPotside(['replay', recordFile(dir), '--mqtt-port', running.mqttPort]);
  expect({ code, err }).toEqual({ code: 2, err: expect.stringMatching(/nothing was replayed: site pier-9 is not for training/) });
  const client = await signIn(running.ready.url);
  mosquittoPub(running.mqttPort, 'potside/pier-9/rig-a/breathing-air-co', JSON.stringify({ v: 50, replay: SHIFT }));
  mosquittoPub(running.mqttPort, 'potside/pier-9/rig-a/pot-pressure', '90');
  await until(async () => (await client.get('/api/rigs/rig-a/points')).items.some(({ id, value }: any) => id === 'pot-pressure' && value === 90), 'the reading that came after it', 20_000);
  expect((await client.get('/api/rigs/rig-a/points')).items.filter(({ id }: any) => id === 'breathing-air-co')).toEqual([]);
  expect((await client.get('/api/refusals')).items[0]).toMatchObject({ reason: 'replayed' });
  expect((await client.get('/api/sites')).items[0].replay).toBeNull();
  await running.end('SIGTERM');
});

it('onto a training site: its sensors speak again, its alarms come, and all of it is marked as a replay for good', async () => {
  const dir = tempDir();
  const running = await serve(dir, SITE_YAML.replace('elevation: 180m', 'elevation: 180m, training: true'));
  const client = await signIn(running.ready.url);
  const player = spawn(process.execPath, ['dist/cli/main.js', 'replay', recordFile(dir), '--mqtt-port', running.mqttPort, '--speed', '10'], { stdio: ['ignore', 'pipe', 'inherit'] });
  let out = '';
  player.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
  await until(async () => (await client.get('/api/sites')).items[0].replay === SHIFT, 'the mark of the replay', 20_000);
  await until(async () => (await client.get('/api/alarms')).items.some(({ name, value }: any) => name === 'co-high' && value === 31.5), 'the alarm of then', 20_000);
  const code = player.exitCode ?? ((await once(player, 'exit')) as [number | null])[0];
  expect(code).toBe(0);
  expect(out).toMatch(/Replaying pier-9-77-1 onto pier-9: 30 readings.*The replay is over/s);
  await until(async () => (await client.get('/api/sites')).items[0].replay === null, 'the end of the replay', 20_000);
  const trace = await client.get('/api/rigs/rig-a/trace?points=breathing-air-co');
  expect(Math.max(...trace.series[0].max)).toBe(31.5);
  await running.end('SIGTERM');
});

it('plays a sealed record as it was signed: the same highest CO, the same CO alarm', async () => {
  const dir = tempDir();
  const { bytes } = await sealedRecord(dir);
  const sealed = join(dir, 'sealed.zip');
  writeFileSync(sealed, bytes);
  const part = (name: string): string => Buffer.from(unzipSync(new Uint8Array(bytes), { filter: (file) => file.name === name })[name] ?? new Uint8Array()).toString();
  const [header = '', ...rows] = part('readings.csv').trimEnd().split(/\r\n/);
  const columns = header.split(',');
  const carbonMonoxide = rows.map((row) => row.split(',')).filter((row) => row[columns.indexOf('point')] === 'breathing-air-co').map((row) => Number(row[columns.indexOf('value')]));
  const raised = (JSON.parse(part('alarms.json')).occurrences as { name: string }[]).map(({ name }) => name);
  expect(raised).toContain('co-high');
  const simulated = createSimulation({ scenario: 'co-wind', seed: 1, rigs: 1, startAtMs: 0, liveFromMs: 0 }).siteYaml;
  const running = await serve(dir, simulated.replace(/^(site:\s*\{)/m, '$1 training: true,'));
  const client = await signIn(running.ready.url);
  const replayed = runPotside(['replay', sealed, '--mqtt-port', running.mqttPort, '--speed', '90']);
  expect(replayed, replayed.err).toMatchObject({ code: 0 });
  const rig = (await client.get('/api/rigs')).items[0].id as string;
  const [trace] = (await client.get(`/api/rigs/${rig}/trace?points=breathing-air-co`)).series;
  expect(Math.max(...trace.max)).toBe(Math.max(...carbonMonoxide));
  expect((await client.get('/api/journal?limit=500')).items.filter(({ kind }: any) => kind === 'alarm').map(({ detail }: any) => detail.name)).toContain('co-high');
  await running.end('SIGTERM');
});

it('marks the shifts it reached into, and no other', async () => {
  const { server, clock, call, signIn: signInAs } = await testServer();
  const cookie = await signInAs('supervisor');
  const shifts = async (): Promise<boolean[]> => ((await (await call('GET', '/api/shifts', { cookie })).json()) as any).items.map(({ replay }: any) => replay);
  const begin = async (rig: string): Promise<string> => ((await (await call('POST', '/api/shifts', { cookie, body: { rig } })).json()) as any).id;
  const first = await begin('rig-a');
  clock.set(NOW + 60_000);
  await call('POST', `/api/shifts/${first}/end`, { cookie });
  clock.set(NOW + 120_000);
  const second = await begin('rig-a');
  await server.noteReplay('pier-9', SHIFT);
  clock.set(NOW + 180_000);
  await server.noteReplay('pier-9', null);
  clock.set(NOW + 240_000);
  await begin('rig-b');
  expect(await shifts()).toEqual([false, true, false]);
  expect(((await (await call('GET', `/api/shifts/${second}`, { cookie })).json()) as any).replay).toBe(true);
});

it('names what is wrong with a file', () => {
  const dir = tempDir();
  const file = join(dir, 'note.zip');
  writeFileSync(file, 'no zip');
  expect(runPotside(['replay', file])).toMatchObject({ code: 2, err: expect.stringMatching(/note\.zip: expected the record of a shift \(record\.zip\)/) });
});

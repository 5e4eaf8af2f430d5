import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { addSupervisor, mosquittoPub, runPotside, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

const CO = 'potside/pier-9/rig-a/breathing-air-co';

it('a backup taken while Potside runs gives, restored elsewhere, the same journal, alarms and traces', async () => {
  const dir = tempDir();
  const begunMs = Date.now();
  const [dataDir, config, file, restored] = [join(dir, 'data'), join(dir, 'site.yaml'), join(dir, 'monday.tar.gz'), join(dir, 'again', 'data')];
  writeFileSync(config, SITE_YAML);
  addSupervisor(dataDir);
  const serve = (data: string) => startPotside('serve', '--config', config, '--data', data, '--port', '0', '--mqtt-port', '0');
  const running = await serve(dataDir);
  const client = await signIn(running.ready.url);
  for (const value of ['2', '3', '12.5']) mosquittoPub(running.mqttPort, CO, value);
  await until(async () => (await client.get('/api/alarms')).items.some(({ name }: { name: string }) => name === 'co-high'), 'the alarm', 20_000);
  const { code, err, out } = runPotside(['backup', file, '--data', dataDir]);
  expect({ code, err }).toEqual({ code: 0, err: '' });
  expect(out).toMatch(/monday\.tar\.gz: \d+\.\d MB\. It holds secrets/);
  const instant = (ms: number): string => encodeURIComponent(new Date(ms).toISOString());
  const stretch = `&from=${instant(begunMs - 1000)}&to=${instant(begunMs + 60_000)}`;
  const told = async (from: typeof client): Promise<unknown> => ({
    alarms: (await from.get('/api/alarms')).items.filter(({ name }: { name: string }) => name === 'co-high'),
    journal: (await from.get('/api/journal?limit=500')).items.filter(({ kind, detail }: any) => kind === 'config' || detail.name === 'co-high'),
    trace: (await from.get(`/api/rigs/rig-a/trace?points=breathing-air-co&width=4000${stretch}`)).series[0].max.filter((value: number | null) => value !== null),
  });
  const before = await told(client);
  expect(before).toMatchObject({ alarms: [{ value: 12.5 }], trace: [2, 3, 12.5] });
  // What comes after the backup is not in it.
  mosquittoPub(running.mqttPort, CO, '40');
  await running.end('SIGTERM');

  expect(runPotside(['backup', file, '--data', dataDir])).toMatchObject({ code: 2, err: expect.stringMatching(/already there/) });
  expect(runPotside(['restore', file, '--data', dataDir])).toMatchObject({ code: 2, err: expect.stringMatching(/not empty/) });
  expect(runPotside(['restore', file, '--data', restored])).toMatchObject({ code: 0 });
  const again = await serve(restored);
  expect(await told(await signIn(again.ready.url))).toEqual(before);
  await again.end('SIGTERM');

  // A tar that is not ours opens it.
  expect(spawnSync('tar', ['tzf', file], { encoding: 'utf8' }).stdout.split('\n')).toEqual(expect.arrayContaining(['backup.json', 'outbox.db', 'record.db']));
  const bytes = readFileSync(file);
  const broken = join(dir, 'broken.tar.gz');
  for (const damaged of [bytes.subarray(0, bytes.length >> 1), Buffer.from(bytes.map((byte, at) => (at === bytes.length >> 1 ? byte ^ 1 : byte))), Buffer.from('no backup')]) {
    writeFileSync(broken, damaged);
    expect(runPotside(['restore', broken, '--data', join(dir, 'third')])).toMatchObject({ code: 2, err: expect.stringMatching(/damaged/) });
  }
  // Nothing half done is left lying about.
  expect(readdirSync(dir).sort()).toEqual(['again', 'broken.tar.gz', 'data', 'monday.tar.gz', 'site.yaml']);
});

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { expect, it } from 'vitest';
import { addSupervisor, mosquittoPub, signIn, startPotside, type PotsideProcess } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

const CO = 'potside/pier-9/rig-a/breathing-air-co';

function prepare(): () => Promise<PotsideProcess> {
  const dataDir = tempDir();
  const config = join(dataDir, 'site.yaml');
  writeFileSync(config, SITE_YAML);
  addSupervisor(dataDir);
  return () => startPotside('serve', '--config', config, '--data', dataDir, '--port', '0', '--mqtt-port', '0');
}

it('#2 an alarm survives kill -9: it stands with the same id and start, and the reading is in the record', async () => {
  const start = prepare();
  const first = await start();
  const before = await signIn(first.ready.url);
  mosquittoPub(first.mqttPort, CO, '12.5');
  await until(async () => (await before.get('/api/alarms')).items.length > 0, 'the alarm');
  const [alarm] = (await before.get('/api/alarms')).items;
  expect(alarm).toMatchObject({ name: 'co-high', priority: 'critical', state: 'unacknowledged', value: 12.5 });
  await first.end('SIGKILL');

  const again = await start();
  const after = await signIn(again.ready.url);
  expect((await after.get('/api/alarms')).items.find(({ name }: { name: string }) => name === 'co-high')).toEqual(alarm);
  const trace = await after.get('/api/rigs/rig-a/trace?points=breathing-air-co');
  expect(trace.series[0].max).toContain(12.5);
  const journal = (await after.get(`/api/journal?alarm=${alarm.id}`)).items;
  expect(journal.map((item: any) => item.detail.to)).toEqual(['unacknowledged']);
});

it('#1 #2 loses nothing it acknowledged and stores nothing twice, killed at random under load', async () => {
  const start = prepare();
  const acknowledged = new Set<number>();
  let next = 0;
  for (let round = 0; round < 6; round += 1) {
    const potside = await start();
    const sender = await mqtt.connectAsync(potside.ready.mqtt, { reconnectPeriod: 0 });
    sender.on('error', () => undefined);
    const killAt = performance.now() + 150 + 97 * round;
    let killed: Promise<unknown> | null = null;
    while (!killed) {
      // Each value is its own number, so that every one can be told in the record: 0.1 psi is the point's resolution.
      for (let burst = 0; burst < 20; burst += 1) {
        const number = next++;
        sender.publishAsync('potside/pier-9/rig-a/pot-pressure', String(number / 10), { qos: 1 }).then(() => acknowledged.add(number), () => undefined);
      }
      await new Promise((resolve) => setTimeout(resolve, 5));
      if (performance.now() > killAt) killed = potside.end('SIGKILL');
    }
    await killed;
    await sender.endAsync(true);
  }
  expect(acknowledged.size).toBeGreaterThan(300);

  const last = await start();
  await until(async () => ((await (await fetch(`${last.ready.url}/api/ready`)).json()) as any).gateway.waiting === 0, 'the outbox to empty');
  await last.end('SIGTERM');
  const stored = await storedValues(last);
  expect([...acknowledged].filter((number) => !stored.has(number))).toEqual([]);
  expect([...stored].filter(([, times]) => times > 1)).toEqual([]);
  expect([...stored.keys()].filter((number) => number >= next)).toEqual([]);
});

/** How often each number is in the record, read from the file itself. */
async function storedValues(ended: PotsideProcess): Promise<Map<number, number>> {
  const { openSqlite } = await import('../../host/open-sqlite.ts');
  const args = ended.child.spawnargs;
  const database = openSqlite(join(args[args.indexOf('--data') + 1] ?? '', 'record.db'));
  const values = database.prepare('SELECT value FROM reading').raw().all() as [number][];
  database.close();
  const counts = new Map<number, number>();
  for (const [value] of values) {
    const number = Math.round(value * 10);
    counts.set(number, (counts.get(number) ?? 0) + 1);
  }
  return counts;
}

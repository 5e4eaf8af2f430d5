import { statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { addSupervisor, mosquittoPub, runPotside, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

it('a record made by the running program is checked by the command alone, and a changed one is refused', async () => {
  const dataDir = tempDir();
  const config = join(dataDir, 'site.yaml');
  writeFileSync(config, SITE_YAML);
  addSupervisor(dataDir);
  const { ready, mqttPort, end } = await startPotside('serve', '--config', config, '--data', dataDir, '--port', '0', '--mqtt-port', '0');
  const { cookie, get } = await signIn(ready.url);
  const started = await fetch(`${ready.url}/api/shifts`, { method: 'POST', headers: { cookie, 'content-type': 'application/json' }, body: JSON.stringify({ rig: 'rig-a' }) });
  const { id } = (await started.json()) as { id: string };
  mosquittoPub(mqttPort, 'potside/pier-9/rig-a/breathing-air-co', '2.5');
  await until(async () => (await get('/api/rigs/rig-a/points')).items.some((point: any) => point.id === 'breathing-air-co' && point.value === 2.5), 'the reading', 20_000);
  const bytes = async (path: string): Promise<Buffer> => Buffer.from(await (await fetch(`${ready.url}/api/shifts/${id}/${path}`, { headers: { cookie } })).arrayBuffer());
  // Made in the export thread of the built program.
  const record = await bytes('record.zip');
  expect((await bytes('report.pdf')).subarray(0, 5).toString()).toBe('%PDF-');
  expect((await bytes('trace.csv')).toString()).toContain(',rig-a,breathing-air-co,2.5,[ppm],good,');
  const file = join(dataDir, 'record.zip');
  writeFileSync(file, record);
  const fingerprint = runPotside(['key', '--data', dataDir]).out.trim();
  expect(fingerprint).toMatch(/^[0-9a-f]{64}$/);
  expect(statSync(join(dataDir, 'record-key.pem')).mode & 0o777).toBe(0o600);
  await end('SIGTERM');

  const intact = runPotside(['verify', file, '--key', fingerprint]);
  expect(intact).toMatchObject({ code: 0, out: expect.stringContaining('intact') });
  expect(intact.out).toMatch(new RegExp(`shift +${id} of pier-9`));
  expect(intact.out).toMatch(/interim/);
  expect(runPotside(['verify', file]).out).toMatch(/not whose key that is/);
  expect(runPotside(['verify', file, '--key', 'ab'.repeat(32)])).toMatchObject({ code: 1, out: expect.stringMatching(/key\.pem: is not the key that was asked for/) });
  const changed = Buffer.from(record);
  const at = changed.indexOf('shift.json');
  changed[at + 40] = (changed[at + 40] ?? 0) ^ 1;
  writeFileSync(file, changed);
  expect(runPotside(['verify', file, '--key', fingerprint])).toMatchObject({ code: 1, out: expect.stringMatching(/NOT as it was signed\n {2}shift\.json: /) });
  expect(runPotside(['verify', join(dataDir, 'nope.zip')])).toMatchObject({ code: 2, err: expect.stringMatching(/can't read/) });
});

import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { runPotside, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { PASSWORD } from '../support/server.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

it('a broker changed in the settings is taken over without anybody’s restart; where it can’t start, the file before is put back', async () => {
  const dataDir = tempDir();
  const file = join(dataDir, 'site.yaml');
  writeFileSync(file, SITE_YAML);
  expect(runPotside(['user', 'add', 'ada', '--role', 'administrator', '--password-stdin', '--data', dataDir], `${PASSWORD}\n`).code).toBe(0);
  const { ready } = await startPotside('serve', '--data', dataDir, '--port', '0', '--mqtt-port', '0');
  const { cookie, get } = await signIn(ready.url, 'ada');
  const put = async (mqtt: unknown): Promise<unknown> => {
    const { version, document } = await get('/api/sites/pier-9/settings');
    const response = await fetch(`${ready.url}/api/sites/pier-9/settings`, { method: 'PUT', headers: { cookie, 'content-type': 'application/json' }, body: JSON.stringify({ version, why: 'broker', document: { ...document, mqtt } }) });
    return response.json();
  };
  // The same address and the same session, with nothing connected at the broker that is not there.
  const connected = async (): Promise<unknown> => get('/api/sites/pier-9/gateway').then((gateway) => (gateway as { connected?: boolean }).connected, () => 'away');
  expect(await connected()).toBe(true);
  expect(await put({ url: 'mqtt://127.0.0.1:9' })).toMatchObject({ takesHold: 'restarting' });
  await until(async () => (await connected()) === false, 'the new broker is tried', 20_000);
  expect(readFileSync(file, 'utf8')).toContain('mqtt: { url: mqtt://127.0.0.1:9 }');

  const broken = join(dataDir, 'broken.pem');
  writeFileSync(broken, 'no certificate');
  expect(await put({ listen: '127.0.0.1:0', 'tls-cert': broken, 'tls-key': broken })).toMatchObject({ takesHold: 'restarting' });
  await until(() => readFileSync(file, 'utf8').includes('mqtt://127.0.0.1:9'), 'the file before', 20_000);
  await until(async () => (await connected()) === false, 'it runs on', 20_000);
  expect(await get('/api/sites/pier-9/settings')).toMatchObject({ inForce: true });
});

import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import type { BeaconMessage } from '../../domain/wire/beacon.ts';
import { makeCertificates } from '../support/certificates.ts';
import { freePort, type Mosquitto, startMosquitto } from '../support/mosquitto.ts';
import { connectV5, numberedSensor, recordedTimes } from '../support/numbered-sensor.ts';
import { addSupervisor, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

interface Broker extends Mosquitto {
  /** In clear, for the sensors of the test. */
  readonly clear: string;
  readonly tls: string;
  /** PEM of its authority. */
  readonly authority: string;
}

/** A Mosquitto with a certificate for this name of the machine, that keeps its sessions over a kill. */
async function startBroker(dir: string, name: string, more = ''): Promise<Broker> {
  mkdirSync(dir);
  const { ca, cert, key } = makeCertificates(dir, name);
  const port = await freePort();
  const kept = `persistence true\npersistence_location ${dir}/\nautosave_interval 1\nautosave_on_changes true\nmax_queued_messages 0`;
  const mosquitto = await startMosquitto(dir, `allow_anonymous true\n${kept}\nlistener ${port} 127.0.0.1\ncertfile ${cert}\nkeyfile ${key}\n${more}`);
  return { ...mosquitto, clear: `mqtt://127.0.0.1:${mosquitto.port}`, tls: `mqtts://${name}:${port}`, authority: readFileSync(ca, 'utf8') };
}

it('goes from broker to broker as they die and come back, each asked for its own name, and stores nothing twice', async () => {
  const dir = tempDir();
  const one = await startBroker(join(dir, 'one'), 'localhost');
  // Mosquitto's bridge hands on what comes in at either of the two, and not back to where it came from (`try_private`).
  const other = await startBroker(join(dir, 'other'), '127.0.0.1', `connection pair\naddress 127.0.0.1:${one.port}\ntopic potside/# both 1\ntry_private true\ncleansession false\nrestart_timeout 1\nnotifications false`);
  writeFileSync(join(dir, 'authorities.pem'), one.authority + other.authority);
  writeFileSync(join(dir, 'site.yaml'), `${SITE_YAML}mqtt: { url: "${one.tls}", other-brokers: ["${other.tls}"], ca-file: ${join(dir, 'authorities.pem')} }\n`);
  addSupervisor(dir);
  const potside = await startPotside('serve', '--config', join(dir, 'site.yaml'), '--data', dir, '--port', '0');
  const client = await signIn(potside.ready.url);
  const isConnected = async (): Promise<boolean> => (await client.get('/api/ready')).gateway.connected;
  await until(isConnected, 'the gateway to connect');

  const sensor = await numberedSensor(other.clear, 'rig-a');
  const recorded = (): number[] => recordedTimes(dir, 'rig-a');
  const since = (atMs: number) => (): boolean => recorded().filter((time) => time > atMs).length > 10;
  await until(since(0), 'readings over the bridge');

  await one.kill();
  await until(since(Date.now()), 'readings at the other broker');
  const light = await connectV5(other.clear, 'light');
  const said: BeaconMessage[] = [];
  light.on('message', (_topic, payload) => said.push(JSON.parse(payload.toString()) as BeaconMessage));
  await light.subscribeAsync('potside/pier-9/beacon', { qos: 1 });
  await sensor.client.publishAsync('potside/pier-9/rig-a/breathing-air-co', '12.5', { qos: 1 });
  await until(() => said.at(-1)?.state === 'critical', 'the beacon at the other broker');

  // Back again, the first one queues in the gateway's old session all that the bridge brings, which the gateway has from the other too.
  await one.start();
  const second = await numberedSensor(one.clear, 'rig-b');
  await until(() => recordedTimes(dir, 'rig-b').length > 10, 'readings from the first broker over the bridge');
  await sensor.stop();
  await until(() => recorded().includes(sensor.acknowledged.at(-1) ?? 0), 'the last of the sensor at the other');

  await other.kill();
  const killedAt = Date.now();
  await until(() => recordedTimes(dir, 'rig-b').filter((atMs) => atMs > killedAt).length > 10, 'readings at the first broker again');
  await second.stop();
  // It kept the gateway's session: what was acknowledged while the gateway changed over waited there.
  await until(() => recordedTimes(dir, 'rig-b').length >= second.acknowledged.length, 'all of the sensor at the first broker');
  expect(recordedTimes(dir, 'rig-b')).toEqual(second.acknowledged);
  expect(recorded()).toEqual([...new Set(recorded())]);
  expect(await isConnected()).toBe(true);
});

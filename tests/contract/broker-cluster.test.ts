import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import mqtt, { type MqttClient } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { BeaconMessage } from '../../domain/wire/beacon.ts';
import { HAS_EJABBERD, startBrokerCluster } from '../support/ejabberd.ts';
import { addSupervisor, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

/** A sensor or a stack light that speaks MQTT 5. */
async function connect(url: string, name: string): Promise<MqttClient> {
  const client = await mqtt.connectAsync(url, { protocolVersion: 5, clientId: name, username: `${name}@localhost`, password: 'x' });
  client.on('error', () => undefined);
  onTestFinished(() => void client.end(true));
  return client;
}

describe.runIf(HAS_EJABBERD)('a cluster of MQTT 5 brokers', () => {
  it('takes readings in at one broker for the gateway at another, and the gateway goes on at the next when its own is killed', async () => {
    const dir = tempDir();
    const [one, other] = await startBrokerCluster(dir);
    const secret = join(dir, 'broker.secret');
    writeFileSync(secret, 'harbor-9\n');
    const config = join(dir, 'site.yaml');
    writeFileSync(config, `${SITE_YAML}\nmqtt: { url: "${one.url}", other-brokers: ["${other.url}"], username: "potside@localhost", password-file: ${secret} }\n`);
    addSupervisor(dir);
    const potside = await startPotside('serve', '--config', config, '--data', dir, '--port', '0');
    const client = await signIn(potside.ready.url);
    const isConnected = async (): Promise<boolean> => (await client.get('/api/ready')).gateway.connected;
    const value = async (): Promise<unknown> => (await client.get('/api/rigs/rig-a/points')).items.find((point: any) => point.id === 'breathing-air-co')?.value;
    await until(isConnected, 'the gateway to connect');

    const sensor = await connect(other.url, 'sensor');
    await sensor.publishAsync('potside/pier-9/rig-a/breathing-air-co', '2.5', { qos: 1 });
    await until(async () => (await value()) === 2.5, 'the reading from the other broker');
    const light = await connect(other.url, 'light');
    const said: BeaconMessage[] = [];
    light.on('message', (_topic, payload) => said.push(JSON.parse(payload.toString()) as BeaconMessage));
    await light.subscribeAsync('potside/pier-9/beacon', { qos: 1 });
    await until(() => said.length > 0, 'the beacon at the other broker');

    await one.kill();
    await until(async () => !(await isConnected()), 'the gateway to notice');
    await until(isConnected, 'the gateway to come to the other broker', 60_000);
    await sensor.publishAsync('potside/pier-9/rig-a/breathing-air-co', '12.5', { qos: 1 });
    await until(async () => (await value()) === 12.5, 'the reading of now');
    await until(() => said.at(-1)?.state === 'critical', 'the beacon of now', 60_000);
    expect(said.at(-1)).toMatchObject({ state: 'critical', unacknowledged: 1 });
  }, 240_000);
});

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { BeaconMessage } from '../../domain/wire/beacon.ts';
import { HAS_EJABBERD, startBrokerCluster } from '../support/ejabberd.ts';
import { connectV5, numberedSensor, recordedTimes } from '../support/numbered-sensor.ts';
import { addSupervisor, type Client, type PotsideProcess, signIn, startPotside } from '../support/potside-process.ts';
import { until } from '../support/quiet.ts';
import { SITE_YAML } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

const AS = (name: string): { username: string; password: string } => ({ username: `${name}@localhost`, password: 'x' });

describe.runIf(HAS_EJABBERD)('a cluster of MQTT 5 brokers', () => {
  it('keeps what waits for the gateway while it goes from one broker to another; when its broker is killed it goes on at the next', async ({ skip }) => {
    const dir = tempDir();
    // Whether a foreign program comes up on a machine with other work is no finding about ours.
    const [one, other] = await startBrokerCluster(dir).catch((error: unknown) => skip(`the cluster did not come up: ${(error as Error).message}`));
    writeFileSync(join(dir, 'broker.secret'), 'harbor-9\n');
    addSupervisor(dir);
    const start = async (url: string, next: string): Promise<{ potside: PotsideProcess; client: Client }> => {
      const config = join(dir, 'site.yaml');
      writeFileSync(config, `${SITE_YAML}\nmqtt: { url: "${url}", other-brokers: ["${next}"], username: "potside@localhost", password-file: ${join(dir, 'broker.secret')} }\n`);
      const potside = await startPotside('serve', '--config', config, '--data', dir, '--port', '0');
      return { potside, client: await signIn(potside.ready.url) };
    };

    // The sensor at one broker, the gateway at the other.
    const first = await start(other.url, one.url);
    await until(async () => (await first.client.get('/api/ready')).gateway.connected, 'the gateway to connect');
    const sensor = await numberedSensor(one.url, 'rig-b', AS('sensor-b'));
    await until(() => recordedTimes(dir, 'rig-b').length > 10, 'readings from the other broker');

    // Away, and back at another broker of the cluster: the session comes along, with all that was acknowledged meanwhile.
    await first.potside.end('SIGKILL');
    const before = sensor.acknowledged.length;
    await until(() => sensor.acknowledged.length > before + 10, 'readings that nobody takes');
    const { client } = await start(one.url, other.url);
    await sensor.stop();
    await until(() => recordedTimes(dir, 'rig-b').length >= sensor.acknowledged.length, 'all that waited');
    expect(recordedTimes(dir, 'rig-b')).toEqual(sensor.acknowledged);

    // Its broker is killed. That broker had the session, and what was routed to it is gone; what comes once the gateway is at the next is not.
    const second = await numberedSensor(other.url, 'rig-a', AS('sensor-a'));
    await until(() => recordedTimes(dir, 'rig-a').length > 10, 'readings from the broker that will live');
    await one.kill();
    const killedAt = Date.now();
    const after = (): number[] => recordedTimes(dir, 'rig-a').filter((atMs) => atMs > killedAt);
    await until(() => after().length > 10, 'readings at the next broker');
    await second.stop();
    const since = after()[0] ?? Infinity;
    await until(() => after().length >= second.acknowledged.filter((atMs) => atMs >= since).length, 'all since the gateway is there');
    expect(after()).toEqual(second.acknowledged.filter((atMs) => atMs >= since));

    // What was lost in between, a sensor that keeps its last readings makes up for: each is stored once.
    await second.sendAgain();
    await until(() => recordedTimes(dir, 'rig-a').length >= second.acknowledged.length, 'what was lost');
    expect(recordedTimes(dir, 'rig-a')).toEqual(second.acknowledged);

    // A light that comes to the living broker is told at once, and what is news.
    await second.client.publishAsync('potside/pier-9/rig-a/breathing-air-co', '12.5', { qos: 1 });
    await until(async () => (await client.get('/api/alarms')).items.some((alarm: any) => alarm.name === 'co-high'), 'the alarm');
    const light = await connectV5(other.url, 'light', AS('light'));
    const said: BeaconMessage[] = [];
    light.on('message', (_topic, payload) => said.push(JSON.parse(payload.toString()) as BeaconMessage));
    await light.subscribeAsync('potside/pier-9/beacon', { qos: 1 });
    await until(() => said.at(-1)?.state === 'critical', 'the beacon of now');
    expect(said.at(-1)).toMatchObject({ state: 'critical', validForS: 15 });
  }, 600_000);
});

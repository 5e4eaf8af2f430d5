import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import mqtt, { type IClientOptions, type MqttClient } from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import { beaconClientId, beaconTopic } from '../../domain/wire/beacon.ts';
import { DeviceAccounts } from '../../gateway/broker/device-accounts.ts';
import { startEmbeddedBroker } from '../../gateway/broker/embedded-broker.ts';
import { QUIET, until } from '../support/quiet.ts';
import { tempDir } from '../support/temp-dir.ts';

const SITE = 'pier-9';
const PASSWORD = 'cedar-anvil-42';

/** Each kind of topic there is, on the own site and a foreign one. */
const TOPICS = {
  'own point': `potside/${SITE}/rig-a/supply-pressure`,
  'other point of the same rig': `potside/${SITE}/rig-a/breathing-air-co`,
  'point of the other rig': `potside/${SITE}/rig-b/supply-pressure`,
  'point of a foreign site': 'potside/hall-2/rig-z/breathing-air-co',
  'own beacon': beaconTopic(SITE),
  'beacon of a foreign site': beaconTopic('hall-2'),
  'mapped topic': 'line/pt-101',
  'command of a node': 'spBv1.0/plant/NCMD/node-1',
  'the broker’s own': '$SYS/broker/uptime',
} as const;
type Topic = keyof typeof TOPICS;
const ALL = Object.keys(TOPICS) as Topic[];
const FILTERS = { everything: '#', 'everything of the site': `potside/${SITE}/#`, 'each rig': `potside/${SITE}/+/breathing-air-co`, 'a foreign site': 'potside/hall-2/#' } as const;

/** Who may connect, and what each may do; written here by hand, so that a slip in the code's own rule shows. */
const ACCOUNTS = {
  sensor: { write: [TOPICS['own point']], read: [], publishes: ['own point'], hears: [] },
  'box of a rig': { write: [`potside/${SITE}/rig-a/+`, 'line/#'], read: ['spBv1.0/plant/NCMD/node-1'], publishes: ['own point', 'other point of the same rig', 'mapped topic'], hears: ['command of a node'] },
  horn: { write: [], read: [beaconTopic(SITE)], publishes: [], hears: ['own beacon'] },
  'foreign sensor': { write: ['potside/hall-2/#'], read: ['potside/hall-2/#'], publishes: ['point of a foreign site', 'beacon of a foreign site'], hears: ['point of a foreign site', 'beacon of a foreign site'] },
} as const satisfies Record<string, { write: readonly string[]; read: readonly string[]; publishes: readonly Topic[]; hears: readonly Topic[] }>;

async function bench() {
  const file = join(tempDir(), 'devices.json');
  const accounts = new DeviceAccounts(file);
  for (const [name, { write, read }] of Object.entries(ACCOUNTS)) await accounts.add(name.replaceAll(' ', '-'), PASSWORD, { write, read });
  const taken: string[] = [];
  const broker = await startEmbeddedBroker({ port: 0, site: SITE, take: async ({ topic }) => void taken.push(topic), log: QUIET, accounts, listen: null });
  onTestFinished(() => broker.stop());
  const connect = async (options: IClientOptions): Promise<MqttClient> => {
    const client = await mqtt.connectAsync(`mqtt://127.0.0.1:${broker.port}`, { reconnectPeriod: 0, ...options }, false);
    client.on('error', () => undefined);
    onTestFinished(() => client.endAsync(true));
    return client;
  };
  const as = (name: string): Promise<MqttClient> => connect({ username: name.replaceAll(' ', '-'), password: PASSWORD });
  return { file, accounts, taken, connect, as };
}

/** True where the broker takes it; a client that may not is let go, so each topic has a connection of its own. */
async function publishes(client: MqttClient, topic: string): Promise<boolean> {
  const gone = new Promise<boolean>((resolve) => client.once('close', () => resolve(false)));
  return Promise.race([client.publishAsync(topic, '1', { qos: 1 }).then(() => true, () => false), gone]);
}

const isGranted = (client: MqttClient, filter: string): Promise<boolean> => client.subscribeAsync(filter).then((given) => (given[0]?.qos ?? 128) < 128, () => false);

describe.each(Object.entries(ACCOUNTS))('%s', (name, { publishes: mayPublish, hears }) => {
  it('publishes to its own topics and no other, on whatever site', async () => {
    const { as, taken } = await bench();
    const did: Topic[] = [];
    for (const topic of ALL) if (await publishes(await as(name), TOPICS[topic])) did.push(topic);
    expect(did).toEqual(mayPublish);
    expect(taken).toEqual(mayPublish.map((topic) => TOPICS[topic]));
  });

  it('subscribes to what it may hear and nothing else, wildcards least of all', async () => {
    const { as } = await bench();
    const client = await as(name);
    const heard: Topic[] = [];
    for (const topic of ALL) if (await isGranted(client, TOPICS[topic])) heard.push(topic);
    expect(heard).toEqual(hears);
    const wide: string[] = [];
    for (const [what, filter] of Object.entries(FILTERS)) if (await isGranted(client, filter)) wide.push(what);
    expect(wide).toEqual(name === 'foreign sensor' ? ['a foreign site'] : []);
  });
});

describe('whoever has no account that holds', () => {
  it.each(['none', 'a wrong password', 'an unknown name', 'a removed account', 'a changed password', 'the beacon’s client id', 'the beacon’s name'])('%s: does not come in', async (what) => {
    const { accounts, connect } = await bench();
    const options: IClientOptions = {};
    if (what !== 'none') Object.assign(options, { username: 'sensor', password: PASSWORD });
    if (what === 'a wrong password') options.password = 'cedar-anvil-43';
    if (what === 'an unknown name') options.username = 'nobody';
    if (what === 'a removed account') accounts.remove('sensor');
    if (what === 'a changed password') await accounts.add('sensor', 'birch-anvil-77', { write: ['#'], read: ['#'] });
    if (what === 'the beacon’s client id') options.clientId = beaconClientId(SITE);
    if (what === 'the beacon’s name') options.username = beaconClientId(SITE);
    await expect(connect(options)).rejects.toThrow();
  });

  it.each(['removed', 'given another password'])('an account that is %s is let go where it is connected; the others stay', async (what) => {
    const { accounts, as } = await bench();
    const [sensor, horn] = await Promise.all([as('sensor'), as('horn')]);
    if (what === 'removed') accounts.remove('sensor');
    else await accounts.add('sensor', 'birch-anvil-77', { write: [], read: [] });
    await until(() => !sensor.connected, 'the end of its connection');
    expect(horn.connected).toBe(true);
  });

  it('an account with other topics keeps its connection and has the new ones', async () => {
    const { file, as, taken } = await bench();
    const sensor = await as('sensor');
    writeFileSync(file, readFileSync(file, 'utf8').replace(`"${TOPICS['own point']}"`, `"${TOPICS['mapped topic']}"`));
    // The broker looks once a second; a publish it refuses would end the connection.
    await new Promise((resolve) => setTimeout(resolve, 2_500));
    expect(await publishes(sensor, TOPICS['mapped topic'])).toBe(true);
    expect(await publishes(sensor, TOPICS['own point'])).toBe(false);
    expect(taken).toEqual([TOPICS['mapped topic']]);
  });
});

import mqtt from 'mqtt';
import { expect, it, onTestFinished } from 'vitest';
import { type House, startHouse } from '../../cli/house.ts';
import { wallClock } from '../../host/clock.ts';
import { parseSiteYaml } from '../../host/read-site-config.ts';
import { QUIET, until } from '../support/quiet.ts';
import { PASSWORD } from '../support/server.ts';
import { tempDir } from '../support/temp-dir.ts';

const YAML = `
site: { id: school, name: Practice yard, zone: America/Chicago, training: true }
compressors: [{ id: big-one, serves: [left, right] }]
rigs:
  - { id: left, name: Left rig, nozzle: { bore: 7/16in }, hose: { bore: 1.25in, length: 100ft }, respirator: { pressure: 50psi..75psi } }
  - { id: right }
`;

async function open(yaml: string, dataDir = tempDir()): Promise<House> {
  const house = await startHouse({ config: parseSiteYaml(yaml, 'site.yaml'), dataDir, host: '127.0.0.1', port: 0, mqttPort: 0, makeClock: wallClock, log: QUIET, demo: false });
  let stopping: Promise<void> | null = null;
  const stop = (): Promise<void> => (stopping ??= house.stop());
  onTestFinished(stop);
  return { ...house, stop };
}

type Ask = (method: string, path: string, body?: unknown) => Promise<{ status: number; body: any }>;

async function signIn({ server }: House, role: string, isKnown = false): Promise<Ask> {
  if (!isKnown) await server.accounts.addUser(`the ${role}`, role, PASSWORD);
  const answer = await fetch(`${server.url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: `the ${role}`, password: PASSWORD }) });
  const cookie = (answer.headers.get('set-cookie') ?? '').split(';')[0] ?? '';
  return async (method, path, body) => {
    const response = await fetch(server.url + path, { method, headers: { cookie, ...(body === undefined ? {} : { 'content-type': 'application/json' }) }, ...(body === undefined ? {} : { body: JSON.stringify(body) }) });
    return { status: response.status, body: await response.json() };
  };
}

it('a trainer plays a scenario on a training site, and everything that comes of it says drill', async () => {
  const house = await open(YAML);
  const ask = await signIn(house, 'safety-officer');
  const beacons: any[] = [];
  const client = await mqtt.connectAsync(house.gateway.mqttUrl);
  onTestFinished(() => client.endAsync(true).then(() => undefined));
  client.on('message', (_topic, payload) => void beacons.push(JSON.parse(payload.toString())));
  await client.subscribeAsync('potside/school/beacon', { qos: 1 });

  const before = await ask('GET', '/api/drills');
  expect(before.body.scenarios.length).toBeGreaterThan(20);
  expect(before.body.sites).toEqual([{ site: 'school', name: 'Practice yard', running: null }]);
  const wrong = await ask('POST', '/api/sites/school/drills', { scenario: 'nonesuch' });
  expect([wrong.status, wrong.body.detail]).toEqual([400, expect.stringContaining('compressor-trip')]);

  const supervisor = await signIn(house, 'supervisor');
  const shift = await supervisor('POST', '/api/shifts', { rig: 'left' });
  expect(shift.body.drill).toBe(true);
  const started = await ask('POST', '/api/sites/school/drills', { scenario: 'compressor-trip', seed: 5, speed: 20 });
  expect([started.status, started.body.running]).toEqual([201, { scenario: 'compressor-trip', seed: 5, speed: 20, startedBy: 'the safety-officer', startedAt: expect.any(String) }]);
  const second = await ask('POST', '/api/sites/school/drills', { scenario: 'quiet' });
  expect([second.status, second.body.detail]).toEqual([409, expect.stringContaining('compressor-trip')]);

  let standing: any[] = [];
  await until(async () => (standing = (await ask('GET', '/api/alarms')).body.items).some(({ name }: { name: string }) => name === 'supply-pressure-low'), 'the trip to be seen on the training rigs', 40_000);
  expect(new Set(standing.map(({ drill }) => drill))).toEqual(new Set([true]));
  expect(standing.map(({ owner }) => owner)).toContain('left');
  await until(() => beacons.some(({ state, drill }) => state === 'critical' && drill === true), 'the beacon to say that it is a drill');

  const ended = await ask('DELETE', '/api/sites/school/drills');
  expect(ended.body.running).toBeNull();
  expect((await ask('DELETE', '/api/sites/school/drills')).status).toBe(409);
  const { items } = (await ask('GET', '/api/journal?limit=500')).body;
  expect(items.filter(({ kind }: { kind: string }) => kind !== 'config').filter(({ text, detail }: any) => !text.startsWith('Drill: ') || detail.drill !== true)).toEqual([]);
  expect(items.map(({ text }: { text: string }) => text)).toContain('Drill: scenario compressor-trip started, seed 5 by the safety-officer');
});

it('a drill ends with the program that played it', async () => {
  const dir = tempDir();
  const first = await open(YAML, dir);
  const ask = await signIn(first, 'administrator');
  expect((await ask('POST', '/api/sites/school/drills', { scenario: 'quiet' })).status).toBe(201);
  await first.stop();
  const again = await open(YAML, dir);
  const later = await signIn(again, 'administrator', true);
  expect((await later('GET', '/api/drills')).body.sites[0].running).toBeNull();
  expect((await later('GET', '/api/journal')).body.items[0].text).toBe('Drill: scenario ended: Potside was restarted by Potside');
});

it('a site that is not for training refuses, and so do roles that do not train', async () => {
  const house = await open(YAML.replace(', training: true', ''));
  const supervisor = await signIn(house, 'supervisor');
  const refused = await supervisor('POST', '/api/sites/school/drills', { scenario: 'quiet' });
  expect([refused.status, refused.body.detail]).toEqual([409, 'this is no training site: its readings are real, and no drill is played among them']);
  expect((await supervisor('GET', '/api/drills')).body.sites).toEqual([]);
  expect((await supervisor('GET', '/api/rigs/left/points')).body.items).toEqual([]);
  for (const role of ['tender', 'viewer', 'manager']) expect((await (await signIn(house, role))('POST', '/api/sites/school/drills', { scenario: 'quiet' })).status).toBe(403);
});

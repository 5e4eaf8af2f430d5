import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { expect, it, onTestFinished } from 'vitest';
import { startHouse } from '../../cli/house.ts';
import { wallClock } from '../../host/clock.ts';
import { QUIET, until } from '../support/quiet.ts';
import { NOW, PASSWORD, testServer } from '../support/server.ts';
import { openTestBroker } from '../simulator/broker.ts';
import { siteFile } from '../support/site-file.ts';
import { SITE_YAML, testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

const YAML = SITE_YAML.replace('nozzle: { bore: 7/16in }', 'nozzle: { bore: 7/16in } # new in May');

async function withFile(yaml = YAML) {
  const dataDir = tempDir();
  const file = siteFile(yaml, dataDir);
  const changed: string[] = [];
  let restarts = 0;
  const test = await testServer(dataDir, undefined, 0, [testSite(yaml)], { settings: { files: new Map([['pier-9', file]]), first: null, onChanged: (config) => void changed.push(config.site.name), restart: () => void (restarts += 1) } });
  const cookie = await test.signIn('administrator');
  const get = async (path = ''): Promise<any> => (await test.call('GET', `/api/sites/pier-9/settings${path}`, { cookie })).json();
  const put = async (body: unknown, as = cookie): Promise<{ status: number; body: any }> => {
    const response = await test.call('PUT', '/api/sites/pier-9/settings', { cookie: as, body });
    return { status: response.status, body: await response.json() };
  };
  return { ...test, file, cookie, get, put, changed, restarts: () => restarts, onDisk: () => readFileSync(file.path, 'utf8') };
}

it('a changed field is written with the comments kept, is in force at once, and who, when and why can be seen', async () => {
  const { get, put, changed, onDisk, server, dataDir, restarts } = await withFile();
  const { document, version, inForce, trouble, file } = await get();
  expect({ inForce, trouble, file }).toEqual({ inForce: true, trouble: null, file: 'site.yaml' });
  document.rigs[0].nozzle.bore = '1/2in';
  document.alarms = { 'nozzle-pressure-low': { limit: '85psi' } };
  const answer = await put({ version, document, why: 'new nozzle' });
  expect(answer).toMatchObject({ status: 200, body: { takesHold: 'now' } });
  expect(onDisk()).toContain('nozzle: { bore: 1/2in } # new in May');
  expect(server.writer('pier-9')?.state.config?.rigs[0]?.nozzle?.bore).toBeCloseTo(0.0127);
  expect(server.writer('pier-9')?.state.config?.alarms).toEqual({ 'nozzle-pressure-low': { limit: 85 } });
  expect(changed).toEqual(['Pier 9 fenders']);
  expect(restarts()).toBe(0);
  const by = { by: 'the administrator', at: new Date(NOW).toISOString(), why: 'new nozzle' };
  expect((await get('/changes')).items).toEqual([
    { field: 'alarms.nozzle-pressure-low.limit', old: null, new: '85psi', ...by },
    { field: 'rigs.rig-a.nozzle.bore', old: '7/16in', new: '1/2in', ...by },
  ]);
  // What it said before is kept as it was.
  const [kept, ...more] = readdirSync(join(dataDir, 'settings-before'));
  expect(more).toEqual([]);
  expect(readFileSync(join(dataDir, 'settings-before', kept ?? ''), 'utf8')).toBe(YAML);
  expect(await get()).toMatchObject({ version: answer.body.version, inForce: true });
});

it('is refused whole where the file was written meanwhile, by whoever', async () => {
  const { get, put, onDisk, file } = await withFile();
  const { document, version } = await get();
  expect((await put({ version, document: { ...document, regime: 'EN' }, why: 'first' })).status).toBe(200);
  const after = onDisk();
  const late = await put({ version, document: { ...document, regime: 'US' }, why: 'second' });
  expect(late).toMatchObject({ status: 412, body: { detail: expect.stringContaining('the last who changed it here was the administrator') } });
  writeFileSync(file.path, `${after}# by hand\n`);
  expect((await put({ version: (await get()).version, document: { ...document, regime: 'EN', page: 'https://potside.example' }, why: 'third' })).status).toBe(200);
  expect(onDisk()).toContain('# by hand');
});

it('names every field that is wrong, and writes nothing', async () => {
  const { get, put, onDisk } = await withFile();
  const { document, version } = await get();
  document.rigs[0].hose.bore = 'wide';
  document.rigs[1].points = { 'nozzle-presure': { topic: 'a' } };
  const refused = await put({ version, document, why: 'slip' });
  expect(refused.status).toBe(400);
  expect(refused.body.errors).toMatchObject([{ field: 'rigs.0.hose.bore', found: '"wide"', expected: expect.stringContaining('not a number with a unit') }]);
  document.rigs[0].hose.bore = '1.25in';
  expect((await put({ version, document, why: 'slip' })).body.errors).toMatchObject([{ field: 'rigs.1.points.nozzle-presure', expected: expect.stringContaining('not a measured point') }]);
  delete document.rigs[1].points;
  expect((await put({ version, document: { ...document, site: { ...document.site, id: 'other' } }, why: 'slip' })).body.errors).toMatchObject([{ field: 'site.id' }]);
  expect((await put({ version, document: { ...document, mqtt: { url: 'mqtts://broker.example', 'ca-file': '/nowhere.pem' } }, why: 'slip' })).body.errors).toMatchObject([{ field: 'mqtt.ca-file', expected: expect.stringContaining('ENOENT') }]);
  expect((await put({ version, document, why: '  ' })).status).toBe(400);
  expect(onDisk()).toBe(YAML);
});

it('takes the text of the file as it is, and names the line that is wrong', async () => {
  const { put, get, onDisk } = await withFile();
  const { version } = await get();
  const wrong = await put({ version, text: YAML.replace('125psi, volume', '9000psi, volume'), why: 'slip' });
  expect(wrong).toMatchObject({ status: 400, body: { detail: expect.stringMatching(/site\.yaml:8: rigs\.0\.vessel\.rated-pressure/) } });
  const text = `${YAML}regime: EN # as agreed\n`;
  expect((await put({ version, text, why: 'as agreed' })).status).toBe(200);
  expect(onDisk()).toBe(text);
});

it('what is read at the start only makes the program start its parts anew', async () => {
  const { get, put, restarts } = await withFile();
  const { document, version } = await get();
  const { body } = await put({ version, document: { ...document, mqtt: { url: 'mqtt://127.0.0.1:9' } }, why: 'own broker' });
  expect(body.takesHold).toBe('restarting');
  await until(() => restarts() === 1, 'the restart');
});

it('a file changed by hand is told as not in force, and proposed limits go into the file', async () => {
  const { get, file, call, cookie, onDisk, server } = await withFile();
  writeFileSync(file.path, YAML.replace('Pier 9 fenders', 'Pier nine'));
  expect(await get()).toMatchObject({ inForce: false, trouble: null });
  writeFileSync(file.path, 'site: [');
  expect(await get()).toMatchObject({ inForce: false, document: null, trouble: expect.stringContaining('site.yaml:') });
  writeFileSync(file.path, YAML);
  const made = (await (await call('POST', '/api/proposals', { cookie, body: { site: 'pier-9', alarms: { 'nozzle-pressure-low': { 'on-delay': '20s' } }, reason: 'fewer calls', shifts: [] } })).json()) as { id: string };
  expect((await call('POST', `/api/proposals/${made.id}/put-into-force`, { cookie })).status).toBe(200);
  expect(onDisk()).toContain('nozzle-pressure-low: { on-delay: 20s }');
  expect(server.writer('pier-9')?.state.config?.alarms).toEqual({ 'nozzle-pressure-low': { onDelayMs: 20_000 } });
  expect((await get('/changes')).items).toMatchObject([{ field: 'alarms.nozzle-pressure-low.on-delay', by: 'the administrator', why: 'fewer calls' }]);
  expect((await get()).inForce).toBe(true);
});

it('a sensor mapped while it publishes arrives without a restart', async () => {
  const dataDir = tempDir();
  const file = siteFile(YAML, dataDir);
  const house = await startHouse({ config: testSite(YAML), dataDir, host: '127.0.0.1', port: 0, mqttPort: 0, makeClock: wallClock, log: QUIET, demo: false, settings: { file, restart: null } });
  onTestFinished(() => house.stop());
  await house.server.accounts.addUser('ada', 'administrator', PASSWORD);
  const session = await fetch(`${house.server.url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: 'ada', password: PASSWORD }) });
  const headers = { cookie: (session.headers.get('set-cookie') ?? '').split(';')[0] ?? '', 'content-type': 'application/json' };
  const ask = async (path: string, body?: unknown): Promise<any> => (await fetch(house.server.url + path, { headers, ...(body === undefined ? {} : { method: 'PUT', body: JSON.stringify(body) }) })).json();
  const client = await mqtt.connectAsync(house.gateway.mqttUrl);
  onTestFinished(() => client.endAsync(true).then(() => undefined));
  await client.publishAsync('hall/gas', '4.5', { qos: 1 });
  expect((await ask('/api/sites/pier-9/arriving')).items).toMatchObject([{ topic: 'hall/gas', feeds: [] }]);
  const { document, version } = await ask('/api/sites/pier-9/settings');
  document.rigs[1].points = { 'breathing-air-co': { topic: 'hall/gas' } };
  expect(await ask('/api/sites/pier-9/settings', { version, document, why: 'mapped' })).toMatchObject({ takesHold: 'now' });
  await client.publishAsync('hall/gas', '5.5', { qos: 1 });
  await until(() => house.server.writer('pier-9')?.state.point('rig-b', 'breathing-air-co')?.value === 5.5, 'the value');
});

it('at a broker elsewhere, topics that nobody mapped are heard while somebody looks, and stored nowhere', async () => {
  const broker = await openTestBroker();
  onTestFinished(() => broker.close());
  const config = testSite(`${YAML}mqtt: { url: "${broker.url}" }\n`);
  const house = await startHouse({ config, dataDir: tempDir(), host: '127.0.0.1', port: 0, mqttPort: 0, makeClock: wallClock, log: QUIET, demo: false });
  onTestFinished(() => house.stop());
  await house.server.accounts.addUser('ada', 'administrator', PASSWORD);
  const session = await fetch(`${house.server.url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: 'ada', password: PASSWORD }) });
  const headers = { cookie: (session.headers.get('set-cookie') ?? '').split(';')[0] ?? '' };
  const heard = async (): Promise<any[]> => ((await (await fetch(`${house.server.url}/api/sites/pier-9/arriving`, { headers })).json()) as { items: any[] }).items;
  const client = await mqtt.connectAsync(broker.url);
  onTestFinished(() => client.endAsync(true).then(() => undefined));
  const publishing = setInterval(() => {
    client.publish('hall/gas', '{"co":4.5}');
    client.publish('line/pt-101', '{"pressure":96,"ts":1}');
  }, 50);
  onTestFinished(() => clearInterval(publishing));
  await until(async () => (await heard()).length > 0, 'what is mapped');
  expect((await heard()).map(({ topic }) => topic)).toEqual(['line/pt-101']);
  expect(await (await fetch(`${house.server.url}/api/sites/pier-9/arriving/look`, { method: 'POST', headers })).json()).toEqual({ looking: true });
  await until(async () => (await heard()).length > 1, 'what is not');
  expect((await heard()).find(({ topic }) => topic === 'hall/gas')).toMatchObject({ feeds: [], form: 'json', fields: [{ at: '/co', value: '4.5' }], trouble: null });
  expect(house.gateway.refusals.latest().filter(({ topic }) => topic === 'hall/gas')).toEqual([]);
});

import { createServer, type AddressInfo } from 'node:net';
import { once } from 'node:events';
import { io } from 'socket.io-client';
import mqtt from 'mqtt';
import { describe, expect, it, onTestFinished } from 'vitest';
import { startHouse } from '../../cli/house.ts';
import type { LiveAlarms } from '../../domain/wire/live.ts';
import { SettableClock } from '../../host/clock.ts';
import { QUIET, until } from '../support/quiet.ts';
import { type Certificate, certificate, mailServer, pushService, webhookReceiver } from '../support/receivers.ts';
import { PASSWORD, testServer, type TestServer } from '../support/server.ts';
import { SITE_YAML, testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

interface Told {
  readonly tls: Certificate;
  readonly smtpPort: number;
  readonly webhook?: { url: string; secretFile: string };
  readonly plans: string;
  readonly more?: string;
}

function siteYaml({ tls, smtpPort, webhook, plans, more = '' }: Told): string {
  return `${SITE_YAML}
page: https://potside.example
notify:
  smtp: { host: 127.0.0.1, port: ${smtpPort}, security: none, from: potside@example.test }
  own-hosts: [localhost]
  ca-file: ${tls.certFile}
  webhooks: [${webhook ? `{ id: ops, url: "${webhook.url}", secret-file: ${webhook.secretFile} }` : ''}]
  plans: ${plans}
  ${more}
`;
}

const start = (yaml: string): Promise<TestServer> => testServer(tempDir(), new SettableClock(Date.now()), 0, [testSite(yaml)]);

async function person(server: TestServer, role: string, email: string | null): Promise<string> {
  const cookie = await server.signIn(role);
  await server.call('PUT', '/api/contact', { cookie, body: { email, quiet: null } });
  return cookie;
}

describe('an alarm on its way to people', () => {
  it('comes decrypted in the browser, in the mail, and signed at the webhook; each tells what to do first', async () => {
    const tls = certificate();
    const mail = await mailServer();
    const hook = await webhookReceiver(tls);
    const server = await start(siteYaml({ tls, smtpPort: mail.port, webhook: hook, plans: '{ critical: [{ after: 0s, to: [role:safety-officer, "webhook:ops"] }] }' }));
    const cookie = await person(server, 'safety-officer', 'olga@example.test');
    const { key } = (await (await server.call('GET', '/api/push-key', { cookie })).json()) as { key: string };
    const push = await pushService(tls, () => key);
    expect((await server.call('POST', '/api/push-subscriptions', { cookie, body: push.subscription() })).status).toBe(201);
    await server.send({ 'breathing-air-co': 15 });
    await until(() => push.taken.length > 0 && mail.taken.length > 0 && hook.taken.length > 0, 'all three');
    const { items } = (await (await server.call('GET', '/api/alarms', { cookie })).json()) as { items: { id: string; title: string }[] };
    const alarm = items[0]?.id;
    expect(push.taken[0]).toMatchObject({ payload: { kind: 'alarm', title: items[0]?.title, alarm }, ttl: '3600', urgency: 'high' });
    expect(mail.taken[0]?.to).toBe('olga@example.test');
    expect(mail.taken[0]?.raw).toMatch(/First:/);
    expect(mail.taken[0]?.raw).toMatch(/no substitute for the CO alarm/);
    expect(hook.taken[0]).toMatchObject({ type: 'potside.alarm', data: { alarm, priority: 'critical' } });
    const told = (await (await server.call('GET', '/api/notices', { cookie })).json()) as { items: { deliveries: { channel: string; state: string; id: string }[] }[] };
    expect(told.items[0]?.deliveries.map(({ channel, state }) => `${channel} ${state}`).toSorted()).toEqual(['email accepted', 'push accepted', 'webhook accepted']);
    expect(mail.taken[0]?.messageId).toContain(told.items[0]?.deliveries.find(({ channel }) => channel === 'email')?.id);
    expect(JSON.stringify(told)).not.toContain('olga@example.test');
  });

  it('comes in the language that the person chose, channel and page’s worker told which', async () => {
    const tls = certificate();
    const mail = await mailServer();
    const server = await start(siteYaml({ tls, smtpPort: mail.port, plans: '{ critical: [{ after: 0s, to: [role:safety-officer] }] }' }));
    const cookie = await person(server, 'safety-officer', 'olga@example.test');
    await server.call('PUT', '/api/contact', { cookie, body: { email: 'olga@example.test', quiet: null, language: 'es' } });
    const { key } = (await (await server.call('GET', '/api/push-key', { cookie })).json()) as { key: string };
    const push = await pushService(tls, () => key);
    await server.call('POST', '/api/push-subscriptions', { cookie, body: push.subscription() });
    await server.send({ 'breathing-air-co': 15 });
    await until(() => push.taken.length > 0 && mail.taken.length > 0, 'both');
    expect(push.taken[0]?.payload).toMatchObject({ language: 'es', title: 'Monóxido de carbono alto en el aire respirable', lines: [expect.stringMatching(/^rig-a, .*: 15 ppm, límite 10$/), expect.stringMatching(/^Primero: Haga señas al chorreador\./), 'Plazo: enseguida'] });
    // Quoted-printable, RFC 2045 and 2047.
    const raw = Buffer.from((mail.taken[0]?.raw ?? '').replaceAll(/=([0-9A-F]{2})/g, (_all, hex: string) => String.fromCharCode(Number.parseInt(hex, 16))), 'latin1').toString();
    expect(raw).toContain('No reemplaza la alarma de CO, el hombre muerto ni a una persona competente');
    expect(raw).toMatch(/Encárguese: https:\/\/potside\.example/);
    expect(raw).toMatch(/CRÍTICA_Monóxido_de_carbono_al/);
    expect(raw).not.toMatch(/First:|Within:|CRITICAL|monitors and advises/);
  });

  it('goes on to the next step until somebody acknowledges, and no further', async () => {
    const tls = certificate();
    const mail = await mailServer();
    const server = await start(siteYaml({ tls, smtpPort: mail.port, plans: '{ critical: [{ after: 0s, to: [role:safety-officer] }, { after: 30s, to: [role:manager] }] }', more: 'repeat: 2min' }));
    const cookie = await person(server, 'safety-officer', 'olga@example.test');
    await person(server, 'manager', 'max@example.test');
    await server.send({ 'breathing-air-co': 15 });
    await until(() => mail.taken.length === 1, 'the first step');
    server.clock.set(server.clock.nowMs() + 31_000);
    await until(() => mail.taken.length === 2, 'the second step');
    expect(mail.taken.map(({ to }) => to)).toEqual(['olga@example.test', 'max@example.test']);
    const { items } = (await (await server.call('GET', '/api/alarms', { cookie })).json()) as { items: { id: string }[] };
    expect((await server.call('POST', `/api/alarms/${items[0]?.id}/acknowledge`, { cookie })).status).toBe(200);
    server.clock.set(server.clock.nowMs() + 600_000);
    const notices = async (): Promise<{ endedWhy: string | null }[]> => ((await (await server.call('GET', '/api/notices', { cookie })).json()) as { items: { endedWhy: string | null }[] }).items;
    await until(async () => (await notices()).at(-1)?.endedWhy === 'acknowledged by the safety-officer', 'its end');
    expect(mail.taken.filter(({ raw }) => raw.includes('CRITICAL Carbon monoxide high'))).toHaveLength(2);
  });

  it('is tried again after a refusal that may pass, with the same id, and a browser that is gone is let go', async () => {
    const tls = certificate();
    const mail = await mailServer((n) => (n === 1 ? 451 : 250));
    const hook = await webhookReceiver(tls, (n) => ({ status: n === 1 ? 500 : 200 }));
    const server = await start(siteYaml({ tls, smtpPort: mail.port, webhook: hook, plans: '{ critical: [{ after: 0s, to: [role:safety-officer, "webhook:ops"] }] }', more: 'last-wait: 60s' }));
    const cookie = await person(server, 'safety-officer', 'olga@example.test');
    const { key } = (await (await server.call('GET', '/api/push-key', { cookie })).json()) as { key: string };
    const push = await pushService(tls, () => key, () => ({ status: 410 }));
    await server.call('POST', '/api/push-subscriptions', { cookie, body: push.subscription() });
    await server.send({ 'breathing-air-co': 15 });
    const states = async (): Promise<string[]> => ((await (await server.call('GET', '/api/notices', { cookie })).json()) as { items: { deliveries: { channel: string; state: string; attempts: number }[] }[] }).items.flatMap(({ deliveries }) => deliveries.map(({ channel, state, attempts }) => `${channel} ${state} ${attempts}`)).toSorted();
    await until(async () => String(await states()) === 'email waiting 1,push dead 1,webhook waiting 1', 'the first try');
    expect([hook.taken.length, push.taken.length, mail.taken.length]).toEqual([1, 1, 0]);
    server.clock.set(server.clock.nowMs() + 3_000);
    await until(() => mail.taken.length === 1 && hook.taken.length === 2, 'the second try');
    expect(hook.taken[0]?.id).toBe(hook.taken[1]?.id);
    const { items } = (await (await server.call('GET', '/api/push-subscriptions', { cookie })).json()) as { items: unknown[] };
    expect(items).toEqual([]);
    expect((await server.server.accounts.trail.find({ what: 'push-unsubscribed', sites: null, limit: 1 }))[0]).toMatchObject({ by: 'potside', why: 'the push service answered 410' });
  });

  it('a test goes to all on the plan, is recorded, and says who can’t be reached', async () => {
    const tls = certificate();
    const mail = await mailServer();
    const server = await start(siteYaml({ tls, smtpPort: mail.port, plans: '{ critical: [{ after: 0s, to: [role:safety-officer] }, { after: 30s, to: [role:manager] }] }' }));
    const cookie = await person(server, 'safety-officer', 'olga@example.test');
    await person(server, 'manager', null);
    const response = await server.call('POST', '/api/notices/test', { cookie, body: { site: 'pier-9' } });
    expect(await response.json()).toMatchObject({ items: [{ person: 'the safety-officer', channel: 'email', accepted: true }] });
    expect(mail.taken[0]?.raw).toMatch(/Subject: Test:/);
    expect((await server.server.accounts.trail.find({ what: 'notices-tested', sites: null, limit: 1 }))[0]).toMatchObject({ by: 'the safety-officer', site: 'pier-9', new: { unreachable: ['the manager'] } });
  });
});

describe('the seal of a shift', () => {
  const sealed = async (server: TestServer, cookie: string, officer: string): Promise<{ id: string; seal: { root: string; key: string } }> => {
    const { id } = (await (await server.call('POST', '/api/shifts', { cookie, body: { rig: 'rig-a' } })).json()) as { id: string };
    await server.call('POST', `/api/shifts/${id}/end`, { cookie });
    await server.call('POST', `/api/shifts/${id}/sign-off`, { cookie, body: { meaning: 'checked and complete' } });
    await server.call('POST', `/api/shifts/${id}/sign-off`, { cookie: officer, body: { meaning: 'approved' } });
    const read = async (): Promise<{ id: string; seal: { root: string; key: string } | null }> => (await (await server.call('GET', `/api/shifts/${id}`, { cookie })).json()) as never;
    await until(async () => (await read()).seal !== null, 'the seal', 30_000);
    return (await read()) as never;
  };

  it('is mailed to safety officer and manager and posted to the webhook, with its root and who signed; no alarm', async () => {
    const tls = certificate();
    const mail = await mailServer();
    const hook = await webhookReceiver(tls, (n) => ({ status: n === 1 ? 500 : 200 }));
    const server = await start(siteYaml({ tls, smtpPort: mail.port, webhook: hook, plans: '{}' }));
    const supervisor = await person(server, 'supervisor', 'dana@example.test');
    const officer = await person(server, 'safety-officer', 'olga@example.test');
    await person(server, 'manager', 'max@example.test');
    const { id, seal } = await sealed(server, supervisor, officer);
    await until(() => mail.taken.length === 2 && hook.taken.length === 1, 'both mails and the first posting');
    server.clock.set(server.clock.nowMs() + 3_000);
    const notices = async (): Promise<{ kind: string; endedWhy: string | null }[]> => ((await (await server.call('GET', '/api/notices', { cookie: supervisor })).json()) as { items: { kind: string; endedWhy: string | null }[] }).items.filter(({ kind }) => kind === 'seal');
    await until(async () => (await notices())[0]?.endedWhy !== null, 'its end');
    expect(mail.taken.map(({ to }) => to).toSorted()).toEqual(['max@example.test', 'olga@example.test']);
    const raw = mail.taken[0]?.raw ?? '';
    expect(raw).toMatch(new RegExp(`Subject: Shift ${id} sealed`));
    expect(raw).toContain(`Root: ${seal.root}`);
    expect(raw).toContain(`Key: ${seal.key}`);
    expect(raw).toMatch(/Signed by the supervisor, supervisor: checked and complete/);
    expect(raw).toMatch(/Signed by the safety-officer, safety officer: approved/);
    expect(raw).toMatch(/Keep this message: .*potside verify/);
    expect(raw).toContain(`https://potside.example/#/shifts/${id}`);
    expect(raw).toMatch(/X-Priority: 3/i);
    expect(raw).not.toMatch(/alarm\b(?!, the deadman)|First:|Within:|CRITICAL|HIGH/);
    expect(hook.taken.map(({ id: message }) => message)).toEqual([hook.taken[0]?.id, hook.taken[0]?.id]);
    expect(hook.taken[1]).toMatchObject({ type: 'potside.seal', data: { alarm: null, priority: null, seal: { shift: id, rig: 'rig-a', root: seal.root, key: seal.key, signOffs: [{ role: 'supervisor' }, { role: 'safety-officer' }] } } });
    expect(await notices()).toMatchObject([{ kind: 'seal', alarm: null, shift: id, priority: null, owner: 'rig-a', endedWhy: 'handed over to 3 of 3' }]);
    expect(await server.server.accounts.trail.find({ what: 'seal-told', sites: null, limit: 9 })).toMatchObject([{ site: 'pier-9', subject: id, why: 'handed over to 3 of 3', new: { root: seal.root } }]);
  });

  it('makes no notice where notifications are not set up', async () => {
    const server = await start(SITE_YAML);
    const supervisor = await server.signIn('supervisor');
    await sealed(server, supervisor, await server.signIn('safety-officer'));
    expect(await (await server.call('GET', '/api/notices', { cookie: supervisor })).json()).toMatchObject({ items: [] });
  });
});

describe('fault 55 and all channels down', () => {
  it('page and beacon say that nobody was told, within the deadline and 5 s', async () => {
    const tls = certificate();
    const dead = createServer().listen(0, '127.0.0.1');
    await once(dead, 'listening');
    const { port } = dead.address() as AddressInfo;
    await new Promise((resolve) => dead.close(resolve));
    const yaml = siteYaml({ tls, smtpPort: port, plans: '{ critical: [{ after: 0s, to: [role:safety-officer] }] }', more: 'last-wait: 4s' });
    const clock = new SettableClock(Date.now());
    clock.run(1);
    const house = await startHouse({ config: testSite(yaml), dataDir: tempDir(), host: '127.0.0.1', port: 0, mqttPort: 0, makeClock: () => clock, log: QUIET, demo: false });
    onTestFinished(() => house.stop());
    const { accounts, url } = house.server;
    await accounts.addUser('olga', 'safety-officer', PASSWORD);
    const signedIn = await fetch(`${url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: 'olga', password: PASSWORD }) });
    const cookie = (signedIn.headers.getSetCookie()[0] ?? '').split(';')[0] ?? '';
    await fetch(`${url}/api/contact`, { method: 'PUT', headers: { cookie, 'content-type': 'application/json' }, body: JSON.stringify({ email: 'olga@example.test', quiet: null }) });
    const page = io(url, { transports: ['websocket'], extraHeaders: { cookie } });
    onTestFinished(() => void page.disconnect());
    const seen: { name: string; raisedAtMs: number }[] = [];
    page.on('alarms', ({ alarms }: LiveAlarms) => seen.push(...alarms));
    await new Promise<void>((resolve) => void page.on('snapshot', () => resolve()));
    const horn = await mqtt.connectAsync(house.gateway.mqttUrl, { reconnectPeriod: 0 });
    onTestFinished(() => horn.endAsync(true));
    const beacon: { unacknowledged: number }[] = [];
    horn.on('message', (_topic, payload) => beacon.push(JSON.parse(payload.toString()) as { unacknowledged: number }));
    await horn.subscribeAsync('potside/pier-9/beacon', { qos: 1 });
    await horn.publishAsync('potside/pier-9/rig-a/breathing-air-co', '15', { qos: 1 });
    await until(() => seen.some(({ name }) => name === 'nobody-told') && beacon.some(({ unacknowledged }) => unacknowledged >= 2), 'the page and the beacon', 20_000);
    const raisedAtMs = seen.find(({ name }) => name === 'co-high')?.raisedAtMs ?? 0;
    const toldAtMs = seen.find(({ name }) => name === 'nobody-told')?.raisedAtMs ?? Number.POSITIVE_INFINITY;
    expect(toldAtMs - raisedAtMs).toBeGreaterThanOrEqual(4_000);
    expect(toldAtMs - raisedAtMs).toBeLessThanOrEqual(9_000);
  });
});

describe('fault 77: addresses that people give us', () => {
  it.each(['http://push.example/x', 'https://127.0.0.1:5432/', 'https://10.1.2.3/', 'https://[::1]/', 'https://[::ffff:127.0.0.1]/', 'https://169.254.169.254/latest', 'https://localhost/', 'https://user:pw@push.example/', 'file:///etc/passwd'])('%s is refused', async (endpoint) => {
    const tls = certificate();
    const server = await start(siteYaml({ tls, smtpPort: 1, plans: '{}' }).replace('own-hosts: [localhost]', 'own-hosts: []'));
    const cookie = await person(server, 'tender', null);
    const response = await server.call('POST', '/api/push-subscriptions', { cookie, body: { endpoint, keys: { p256dh: 'abc', auth: 'abc' } } });
    expect(response.status).toBe(400);
  });
});

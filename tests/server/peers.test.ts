import { readFileSync } from 'node:fs';
import { createServer as createTlsServer } from 'node:tls';
import { io } from 'socket.io-client';
import { describe, expect, it, onTestFinished } from 'vitest';
import { EffectsCollector } from '../../domain/site/site-effects.ts';
import { wallClock } from '../../host/clock.ts';
import { openPostgresStore } from '../../server/record/postgres/open.ts';
import { LeaseLost, type Leases } from '../../server/record/postgres/leases.ts';
import { refuse } from '../../server/record/sqlite-store.ts';
import type { CommitUnit, Store } from '../../server/record/store.ts';
import type { Tls } from '../../server/api/create-api.ts';
import { type PotsideServer, startServer } from '../../server/server.ts';
import { makeCertificates } from '../support/certificates.ts';
import { freePort } from '../support/mosquitto.ts';
import { POSTGRES_BIN } from '../support/postgres.ts';
import { QUIET, until } from '../support/quiet.ts';
import { batch, NOW, PASSWORD, sequenced } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { databaseAt } from '../support/stores.ts';
import { tempDir } from '../support/temp-dir.ts';

const tick = (seq: number, epoch?: number): CommitUnit => ({ site: 'pier-9', epoch, logged: [{ entry: { kind: 'tick', seq, atMs: NOW + seq }, effects: new EffectsCollector(seq) }], cursors: [], snapshot: null });

async function openShared(url: string, home: string): Promise<{ store: Store; leases: Leases }> {
  const { store } = await openPostgresStore(url, refuse);
  onTestFinished(() => store.close());
  if (!store.leases) throw new Error('no leases');
  await store.leases.begin(home);
  return { store, leases: store.leases };
}

describe.skipIf(POSTGRES_BIN === null)('the lease of a site', () => {
  it('is one server’s at a time; whoever had it before writes nothing more', async () => {
    const url = await databaseAt('lease');
    const [a, b] = [await openShared(url, 'a'), await openShared(url, 'b')];
    await expect(a.store.commit(tick(1))).rejects.toThrow(LeaseLost);
    expect([await a.leases.take('pier-9'), await b.leases.take('pier-9')]).toEqual([true, false]);
    await a.store.commit(tick(1, a.leases.epochOf('pier-9') ?? 0));
    await expect(b.store.commit(tick(2))).rejects.toThrow(LeaseLost);
    // As one that was stopped: it believes that the site is still its own.
    await b.store.leases?.beat();
    expect((await b.leases.roll()).sites.get('pier-9')).toMatchObject({ isOurs: false, isFree: false });
    const before = a.leases.epochOf('pier-9') ?? 0;
    const c = await openShared(url, 'a');
    expect(await b.leases.take('pier-9')).toBe(true);
    expect(b.leases.epochOf('pier-9')).toBe(before + 1);
    await expect(a.store.commit(tick(2, before))).rejects.toThrow('site pier-9: another server has taken it over');
    await expect(a.store.underLease('pier-9', () => Promise.resolve())).rejects.toThrow(LeaseLost);
    await b.store.commit(tick(2));
    expect(await c.leases.take('pier-9')).toBe(false);
    await b.leases.release('pier-9');
    await expect(b.store.commit(tick(3))).rejects.toThrow(LeaseLost);
    expect(await c.leases.take('pier-9')).toBe(true);
  });

  it('can’t be taken while a commit under it is not over', async () => {
    const url = await databaseAt('lease in a commit');
    const [a, b] = [await openShared(url, 'a'), await openShared(url, 'b')];
    await a.leases.take('pier-9');
    await a.store.underLease('pier-9', async () => {
      // Its server is given up meanwhile, but what it is writing is not over.
      const again = await openShared(url, 'a');
      expect(await b.leases.take('pier-9')).toBe(false);
      await again.leases.end();
    });
    expect(await b.leases.take('pier-9')).toBe(true);
  });
});

interface Started {
  readonly server: PotsideServer;
  readonly cookie: string;
  call(method: string, path: string, body?: unknown): Promise<any>;
}

async function startOne(url: string, tls: Tls | null = null): Promise<PotsideServer> {
  const server = await startServer({
    sites: [testSite()], dataDir: tempDir(), database: url, host: '127.0.0.1', port: 0, tls, makeClock: wallClock, log: QUIET, demo: false, version: '0.0.0', dashboardDir: 'nowhere',
    gateway: { refusals: () => null, gatewayStatus: () => null },
  });
  onTestFinished(() => server.stop());
  return server;
}

async function start(url: string): Promise<Started> {
  const server = await startOne(url);
  if (!(await server.accounts.users()).some(({ name }) => name === 'dana')) await server.accounts.addUser('dana', 'supervisor', PASSWORD);
  const signedIn = await fetch(`${server.url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: 'dana', password: PASSWORD }) });
  const cookie = (signedIn.headers.get('set-cookie') ?? '').split(';')[0] ?? '';
  const call: Started['call'] = async (method, path, body) =>
    (await fetch(server.url + path, { method, headers: { cookie, ...(body === undefined ? {} : { 'content-type': 'application/json' }) }, ...(body === undefined ? {} : { body: JSON.stringify(body) }) })).json();
  return { server, cookie, call };
}

describe.skipIf(POSTGRES_BIN === null)('two servers with the same site', () => {
  it('are one to whoever asks: readings, alarms, actions and pages work at either, and a server that ends leaves the site to the other', async () => {
    const url = await databaseAt('two servers');
    const first = await start(url);
    const second = await start(url);
    expect([first, second].map(({ server }) => server.writer('pier-9')?.isOurs)).toEqual([true, false]);
    const pushed: any[] = [];
    const page = io(second.server.url, { transports: ['websocket'], extraHeaders: { cookie: second.cookie } });
    onTestFinished(() => void page.close());
    page.on('alarms', (message) => pushed.push(...message.alarms));

    // To the one that does not have it.
    const nowMs = Date.now();
    const ack = await second.server.deliver(batch([sequenced('breathing-air-co', 15, nowMs, 1)]));
    expect(ack.committed).toBe(1);
    await until(() => pushed.some(({ name }) => name === 'co-high'), 'the alarm on the other server’s page', 20_000);
    const [alarm] = (await second.call('GET', '/api/alarms')).items.filter(({ name }: { name: string }) => name === 'co-high');
    expect((await first.call('GET', '/api/alarms')).items.find(({ name }: { name: string }) => name === 'co-high')).toEqual(alarm);

    const shift = await second.call('POST', '/api/shifts', { rig: 'rig-a' });
    expect(shift).toMatchObject({ rig: 'rig-a', startedBy: 'dana' });
    expect((await second.call('GET', '/api/sites')).items[0].recording).toBe(true);
    expect(await second.call('POST', `/api/alarms/${alarm.id}/acknowledge`)).toEqual({ id: alarm.id, state: 'acknowledged' });
    expect((await first.call('GET', '/api/alarms')).items.find(({ id }: { id: string }) => id === alarm.id)).toMatchObject({ acknowledgedBy: 'dana' });

    await first.server.stop();
    await until(() => second.server.writer('pier-9')?.isOurs === true, 'the second one to have it', 20_000);
    expect((await second.server.deliver(batch([sequenced('breathing-air-co', 15, nowMs, 1), sequenced('breathing-air-co', 16, nowMs + 1, 2)]))).committed).toBe(2);
    const journal = (await second.call('GET', '/api/journal?limit=200')).items;
    expect(journal.filter(({ kind, detail }: any) => kind === 'alarm' && detail.name === 'co-high' && detail.what === 'raised')).toHaveLength(1);
    expect((await second.call('GET', '/api/rigs/rig-a/trace?points=breathing-air-co')).series[0].max.filter((value: number | null) => value !== null)).toContain(16);
  });

  it('listen to each other only with what the database tells, and only about a site that they have', async () => {
    const url = await databaseAt('peers');
    const first = await start(url);
    const second = await start(url);
    const say = (to: Started, secret: string | null): Promise<Response> =>
      fetch(`${to.server.url}/peers/pier-9`, { method: 'POST', headers: { 'content-type': 'application/json', ...(secret === null ? {} : { authorization: `Bearer ${secret}` }) }, body: JSON.stringify({ kind: 'heard' }) });
    const { store, sql } = await openPostgresStore(url, refuse);
    onTestFinished(() => store.close());
    const secretOf = async ({ server }: Started): Promise<string> => (await sql.get<{ secret: string }>('SELECT secret FROM server WHERE address = ?', server.url))?.secret ?? '';
    expect((await say(first, null)).status).toBe(401);
    expect((await say(first, await secretOf(second))).status).toBe(401);
    expect((await say(second, await secretOf(second))).status).toBe(421);
    expect((await say(first, await secretOf(first))).status).toBe(200);
    expect((await say(first, await first.server.accounts.tokens.add('gate', 'gateway'))).status).toBe(401);
  });

  it('over TLS know each other by the certificate that each told the database, whoever issued it and whatever name is in it', async () => {
    const url = await databaseAt('peers over TLS');
    // Of a balancer's name, by an authority that this program knows nothing of; one for each.
    const own = (): Tls => {
      const { cert, key } = makeCertificates(tempDir(), 'watch.example');
      return { cert: readFileSync(cert, 'utf8'), key: readFileSync(key, 'utf8') };
    };
    const first = await startOne(url, own());
    const second = await startOne(url, own());
    expect([first, second].map((server) => server.writer('pier-9')?.isOurs)).toEqual([true, false]);
    const nowMs = Date.now();
    const deliver = (sequence: number): Promise<{ committed: number }> => second.deliver(batch(Array.from({ length: sequence }, (_, i) => sequenced('breathing-air-co', 15, nowMs + i, i + 1))));
    await until(() => deliver(1).then(({ committed }) => committed === 1, () => false), 'the second server to know where the site is');

    // Somebody else in its place, with a certificate that is as good: of the same authority's kind and the same name, but another one.
    let heard = '';
    const stranger = createTlsServer(own(), (socket) => void socket.on('data', (chunk: Buffer) => (heard += chunk.toString())).on('error', () => undefined));
    const port = await freePort();
    await new Promise<void>((resolve) => stranger.listen(port, '127.0.0.1', resolve));
    onTestFinished(() => void stranger.close());
    const { store, sql } = await openPostgresStore(url, refuse);
    onTestFinished(() => store.close());
    await sql.run('UPDATE server SET address = ? WHERE address = ?', `https://127.0.0.1:${port}`, first.url);
    let said = '';
    await until(() => deliver(2).then(() => false, (error: Error) => (said = error.message).includes(`could not be reached at https://127.0.0.1:${port}`)), 'the stranger to be refused');
    expect([said, heard]).toEqual([expect.stringMatching(/certificate|issuer/), '']);
  });
});

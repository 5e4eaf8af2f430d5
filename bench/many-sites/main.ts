import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createConnection, createServer } from 'node:net';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { io } from 'socket.io-client';
import type { LivePoint } from '../../domain/wire/live.ts';
import { wallClock } from '../../host/clock.ts';
import { Accounts } from '../../server/access/accounts.ts';
import { openStore } from '../../server/record/open-store.ts';
import { linesOf, processorSeconds, residentMb } from '../processes.ts';
import { POINTS, rigId, RIGS, SITES, siteId, siteYaml } from './sites.ts';

/**
 * Many sites through the real path: sensors → Mosquitto → a gateway for each site → one server → a page. `BENCH_SECONDS` (600) shortens it,
 * `BENCH_SITES` (200) makes it smaller, `BENCH_DATABASE` puts the record into an empty PostgreSQL. The gateways' outboxes are in memory
 * (`/dev/shm`) where there is such a thing: each site has a disk of its own, and this machine has one.
 */
const SECONDS = Number(process.env['BENCH_SECONDS'] ?? 600);
const DATABASE = process.env['BENCH_DATABASE'] ?? null;
const PATIENCE_MS = 300_000;
const PASSWORD = 'cedar-anvil-73-quay';
const children: ChildProcess[] = [];

const dir = mkdtempSync(join(tmpdir(), 'potside-sites-'));
const outboxes = mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : dir, 'potside-outboxes-'));
try {
  const report = await run();
  console.log(JSON.stringify(report, null, 2));
  process.exitCode = report.lost === 0 && report.waitingAtTheEnd === 0 ? 0 : 1;
} finally {
  for (const child of children) child.kill('SIGKILL');
  for (const one of [dir, outboxes]) rmSync(one, { recursive: true, force: true });
}
process.exit();

async function run(): Promise<Record<string, unknown> & { readonly lost: number; readonly waitingAtTheEnd: number }> {
  const [brokerPort, port] = [await freePort(), await freePort()];
  const [mqtt, url, data] = [`mqtt://127.0.0.1:${brokerPort}`, `http://127.0.0.1:${port}`, join(dir, 'server')];
  await prepare(mqtt, url, data);
  writeFileSync(join(dir, 'mosquitto.conf'), `listener ${brokerPort} 127.0.0.1\nallow_anonymous true\nuser root\nmax_inflight_messages 500\nmax_queued_messages 0\nlog_dest none\n`);
  start('mosquitto', ['-c', join(dir, 'mosquitto.conf')]);
  await until(() => answers(brokerPort), 'the broker');
  const potside = new URL('../../cli/main.js', import.meta.url).pathname;
  const configs = Array.from({ length: SITES }, (_, site) => join(dir, `${siteId(site)}.yaml`));
  const begun = performance.now();
  const server = start(process.execPath, [potside, 'server', '--config', ...configs, '--data', data, '--port', String(port), ...(DATABASE === null ? [] : ['--database', DATABASE]), '--trust-proxy', '127.0.0.1', '--json', '--log', 'error']);
  await once(linesOf(server), 'line');
  const startedMs = Math.round(performance.now() - begun);
  const gateways = start(process.execPath, [sibling('gateways.js'), dir, outboxes]);
  let status = { connected: 0, uplinks: 0, messages: 0, waiting: 0 };
  let mostWaiting = 0;
  linesOf(gateways).on('line', (line: string) => {
    status = JSON.parse(line) as typeof status;
    mostWaiting = Math.max(mostWaiting, status.waiting);
  });
  await until(() => Promise.resolve(status.connected === SITES && status.uplinks === SITES), 'all gateways to be connected');
  const delays = await watch(url);
  const load: number[] = [];
  const looking = setInterval(() => load.push(loadavg()[0] ?? 0), 5_000);
  const [serverCpu, gatewayCpu] = [processorSeconds(server), processorSeconds(gateways)];
  const memory: number[] = [];
  const weighing = setInterval(() => memory.push(Math.round(residentMb(server))), 10_000);
  const sensors = start(process.execPath, [sibling('sensors.js'), mqtt, String(SECONDS)]);
  const [line] = (await once(linesOf(sensors), 'line')) as [string];
  const { sent, acknowledged } = JSON.parse(line) as { sent: number; acknowledged: number };
  const sentAt = performance.now();
  const [serverCores, gatewayCores] = [(processorSeconds(server) - serverCpu) / SECONDS, (processorSeconds(gateways) - gatewayCpu) / SECONDS];
  clearInterval(looking);
  clearInterval(weighing);
  const heldThen = status.waiting;
  await until(() => Promise.resolve(status.messages >= acknowledged && status.waiting === 0), 'everything to be committed').catch((error: unknown) => console.error(error));
  const drainedMs = Math.round(performance.now() - sentAt);
  const committed = await countCommitted();
  const sorted = delays.toSorted((a, b) => a - b);
  const at = (share: number): number | null => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? null;
  return {
    sites: SITES, rigs: SITES * RIGS, readingsPerSecond: SITES * RIGS * POINTS.length, seconds: SECONDS, store: DATABASE === null ? 'SQLite' : 'PostgreSQL',
    sentReadings: sent * POINTS.length, acknowledgedReadings: acknowledged * POINTS.length, committedReadings: committed, waitingAtTheEnd: status.waiting, lost: acknowledged * POINTS.length - committed - status.waiting,
    toPageMs: { p50: at(0.5), p99: at(0.99), most: sorted.at(-1) ?? null, count: sorted.length },
    startedMs, mostWaiting, waitingWhenTheSensorsEnded: heldThen, drainedMs,
    serverCores: round(serverCores), gatewayCores: round(gatewayCores), serverMemoryMb: { first: memory[0] ?? null, last: memory.at(-1) ?? null, most: Math.max(...memory) },
    machineLoad: { lowest: Math.min(...load), highest: Math.max(...load) },
  };

  /** Readings in the record, counted by the gateways' cursors. */
  async function countCommitted(): Promise<number> {
    const { store } = await openStore({ dataDir: data, database: DATABASE });
    let sum = 0;
    for (let site = 0; site < SITES; site += 1) for (const { ranges, missing } of await store.cursors(siteId(site))) sum += ranges.reduce((all, [above, through]) => all + through - above, 0) - missing;
    await store.close();
    return sum;
  }
}

/** Configurations, tokens and somebody who looks at one site. */
async function prepare(mqtt: string, url: string, data: string): Promise<void> {
  mkdirSync(data);
  const { store, sql } = await openStore({ dataDir: data, database: DATABASE });
  const accounts = new Accounts(sql, wallClock());
  for (let site = 0; site < SITES; site += 1) {
    const tokenFile = join(dir, `${siteId(site)}.token`);
    writeFileSync(tokenFile, await accounts.tokens.add(siteId(site), 'gateway', { sites: [siteId(site)] }));
    writeFileSync(join(dir, `${siteId(site)}.yaml`), siteYaml(site, mqtt, null));
    writeFileSync(join(dir, `${siteId(site)}-gateway.yaml`), siteYaml(site, mqtt, { url, tokenFile }));
  }
  await accounts.addUser('bench', 'viewer', PASSWORD);
  await store.close();
}

/** A page of all sites; of one of them the time from the sensor's own time to the page is kept. */
async function watch(url: string): Promise<number[]> {
  const response = await fetch(`${url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: 'bench', password: PASSWORD }) });
  const socket = io(url, { transports: ['websocket'], extraHeaders: { cookie: (response.headers.get('set-cookie') ?? '').split(';')[0] ?? '' } });
  await once(socket as unknown as NodeJS.EventEmitter, 'connect');
  const delays: number[] = [];
  const watched = new Set(Array.from({ length: RIGS }, (_, rig) => rigId(SITES >> 1, rig)));
  socket.on('live', ({ points }: { points: readonly LivePoint[] }) => {
    const now = Date.now();
    for (const { owner, id, atMs } of points) if (atMs !== null && watched.has(owner) && (POINTS as readonly string[]).includes(id)) delays.push(now - atMs);
  });
  return delays;
}

function start(program: string, args: readonly string[]): ChildProcess {
  const child = spawn(program, args, { stdio: ['ignore', 'pipe', 'inherit'], env: process.env });
  children.push(child);
  return child;
}

function sibling(name: string): string {
  return new URL(name, import.meta.url).pathname;
}

async function freePort(): Promise<number> {
  const free = createServer().listen(0, '127.0.0.1');
  await once(free, 'listening');
  const { port } = free.address() as { port: number };
  await new Promise((resolve) => free.close(resolve));
  return port;
}

function answers(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = createConnection({ port, host: '127.0.0.1' }, () => (socket.destroy(), resolve(true)));
    socket.on('error', () => resolve(false));
  });
}

async function until(holds: () => Promise<boolean>, what: string): Promise<void> {
  const giveUp = performance.now() + PATIENCE_MS;
  while (!(await holds())) {
    if (performance.now() > giveUp) throw new Error(`waited ${PATIENCE_MS / 1000} s in vain for ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}

function round(value: number): number {
  return Math.round(value * 100) / 100;
}

import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import mqtt from 'mqtt';
import { io, type Socket } from 'socket.io-client';
import { measure, type Result } from '../measure.ts';

const RIGS = 200;
const RATE = 10_000;
const WARM_MS = 2_000;
const PROBE_EVERY_MS = 50;

interface Running {
  readonly url: string;
  readonly mqtt: string;
  readonly cookie: string;
  stop(): Promise<void>;
}

/** p99 from publishing a reading of 12.5 ppm to its alarm at a socket, under load, through the disk. */
export function benchLatency(): Promise<Result> {
  return measure(`reading to alarm on a page: p99 at ${RATE.toLocaleString('en')} readings/s`, 'ms', () => probe(startBare), () => probe(startPotside), 3);
}

async function probe(start: (dir: string) => Promise<Running>): Promise<number> {
  const dir = mkdtempSync(join(tmpdir(), 'potside-bench-'));
  const running = await start(dir);
  const load = spawn(process.execPath, [new URL('load.js', import.meta.url).pathname, running.mqtt, String(RATE), String(RIGS)], { stdio: 'ignore' });
  try {
    await new Promise((resolve) => setTimeout(resolve, WARM_MS));
    const delays = await probeEachRig(running);
    return delays.toSorted((a, b) => a - b)[Math.floor(delays.length * 0.99) - 1] ?? Number.NaN;
  } finally {
    load.kill('SIGKILL');
    await running.stop();
    rmSync(dir, { recursive: true, force: true });
  }
}

/** One alarm a rig: a reading that raises it, and the time until a socket hears of it. */
async function probeEachRig(running: Running): Promise<number[]> {
  const socket: Socket = io(running.url, { transports: ['websocket'], extraHeaders: { cookie: running.cookie } });
  await once(socket as unknown as NodeJS.EventEmitter, 'connect');
  const sender = await mqtt.connectAsync(running.mqtt);
  const sentAt = new Map<string, number>();
  const delays: number[] = [];
  socket.on('alarms', (message: { topic?: string; alarms?: { name: string; owner: string }[] }) => {
    const owners = message.topic ? [message.topic.split('/')[2] ?? ''] : (message.alarms ?? []).filter(({ name }) => name === 'co-high').map(({ owner }) => owner);
    for (const owner of owners) {
      const at = sentAt.get(owner);
      if (at === undefined) continue;
      sentAt.delete(owner);
      delays.push(performance.now() - at);
    }
  });
  for (let rig = 0; rig < RIGS; rig += 1) {
    sentAt.set(`rig-${rig}`, performance.now());
    sender.publish(`potside/bench/rig-${rig}/breathing-air-co`, '12.5', { qos: 1 });
    await new Promise((resolve) => setTimeout(resolve, PROBE_EVERY_MS));
  }
  const giveUp = performance.now() + 10_000;
  while (sentAt.size > 0 && performance.now() < giveUp) await new Promise((resolve) => setTimeout(resolve, 50));
  if (sentAt.size > 0) throw new Error(`${sentAt.size} of ${RIGS} alarms never came`);
  socket.disconnect();
  await sender.endAsync(true);
  return delays;
}

async function startBare(dir: string): Promise<Running> {
  const child = spawn(process.execPath, [new URL('bare-server.js', import.meta.url).pathname, join(dir, 'bare.db')], { stdio: ['ignore', 'pipe', 'inherit'] });
  return { ...(await readyLine(child)), cookie: '', stop: () => end(child) };
}

async function startPotside(dir: string): Promise<Running> {
  const potside = new URL('../../cli/main.js', import.meta.url).pathname;
  writeFileSync(join(dir, 'site.yaml'), `site: { id: bench, name: Bench, zone: UTC }\nrigs:\n${Array.from({ length: RIGS }, (_, rig) => `  - id: rig-${rig}\n`).join('')}`);
  const user = spawn(process.execPath, [potside, 'user', 'add', 'bench', '--role', 'viewer', '--password-stdin', '--data', dir], { stdio: ['pipe', 'ignore', 'inherit'] });
  user.stdin?.end('cedar-anvil-73-quay\n');
  await once(user, 'exit');
  const child = spawn(process.execPath, [potside, 'serve', '--config', join(dir, 'site.yaml'), '--data', dir, '--port', '0', '--mqtt-port', '0', '--json', '--log', 'error'], { stdio: ['ignore', 'pipe', 'inherit'] });
  const ready = await readyLine(child);
  const response = await fetch(`${ready.url}/api/session`, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ name: 'bench', password: 'cedar-anvil-73-quay' }) });
  return { ...ready, cookie: (response.headers.get('set-cookie') ?? '').split(';')[0] ?? '', stop: () => end(child) };
}

async function readyLine(child: ChildProcess): Promise<{ url: string; mqtt: string }> {
  if (!child.stdout) throw new Error('no output to read');
  const [line] = (await once(createInterface(child.stdout), 'line')) as [string];
  return JSON.parse(line) as { url: string; mqtt: string };
}

async function end(child: ChildProcess): Promise<void> {
  child.kill('SIGKILL');
  await once(child, 'exit');
}

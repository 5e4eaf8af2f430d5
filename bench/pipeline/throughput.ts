import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { createConnection, createServer } from 'node:net';
import { join } from 'node:path';
import { measure, type Result } from '../measure.ts';
import { end, inTempDir, linesOf, nextLine, pause, prepare, readyLine, startPotside as startServe, startScript } from '../processes.ts';
import { PACK, siteYaml } from './packs.ts';

/** How long a flood lasts after its first two seconds; what it left behind is drained then. `BENCH_SECONDS` and `BENCH_ROUNDS` make more of it. */
const SECONDS = Number(process.env['BENCH_SECONDS'] ?? 3);
const DRAIN_MS = 60_000;
/** Well below the rate at which the server turns one address away. */
const LOOK_EVERY_MS = 100;
const ROUNDS = Number(process.env['BENCH_ROUNDS'] ?? 2);

/** Readings a second at which the time to the acknowledgement is measured. */
const STEADY = 10_000;

type Mode = 'one' | 'pack';
type Way = 'embedded' | 'mosquitto';

interface Target {
  readonly mqtt: string;
  /** Resolves once everything that was acknowledged is where it is to stay. */
  drained(readings: number): Promise<void>;
  stop(): Promise<void>;
}

/** Readings a second from sensor to record, with an acknowledgement that means on disk. */
export async function benchThroughput(): Promise<Result[]> {
  const results: Result[] = [];
  for (const way of ['embedded', 'mosquitto'] as const) {
    for (const mode of ['one', 'pack'] as const) {
      const name = `${way === 'embedded' ? 'embedded broker' : 'Mosquitto'}, ${mode === 'one' ? 'one reading a message' : `packs of ${PACK}`}`;
      const rateOf = async (start: Start): Promise<number> => (await run(start, way, mode)).rate;
      results.push(await measure(name, 'readings/s', () => rateOf(startBare), () => rateOf(startPotside), ROUNDS, 'new processes'));
    }
  }
  return results;
}

/** p99 of the time to the acknowledgement at a steady rate. The embedded broker only: Mosquitto's acknowledgement says nothing of ours. */
export async function benchAcknowledgement(): Promise<Result[]> {
  const results: Result[] = [];
  for (const [mode, rate] of [['one', STEADY], ['pack', STEADY / PACK]] as const) {
    const p99Of = async (start: Start): Promise<number> => (await run(start, 'embedded', mode, rate)).p99Ms;
    const name = `acknowledged within, p99 at ${STEADY.toLocaleString('en')} readings/s, ${mode === 'one' ? 'one a message' : `packs of ${PACK}`}`;
    results.push(await measure(name, 'ms', () => p99Of(startBare), () => p99Of(startPotside), ROUNDS, 'new processes'));
  }
  return results;
}

type Start = (dir: string, way: Way, mode: Mode) => Promise<Target>;

function run(start: Start, way: Way, mode: Mode, messagesPerSecond?: number): Promise<{ rate: number; p99Ms: number }> {
  return inTempDir(async (dir) => {
    const target = await start(dir, way, mode);
    try {
      const begun = performance.now();
      const flood = startScript(new URL('flood.js', import.meta.url), [target.mqtt, mode, String(SECONDS), ...(messagesPerSecond === undefined ? [] : [String(messagesPerSecond)])]);
      const { acknowledged, p99Ms } = await readyLine<{ acknowledged: number; p99Ms: number }>(flood);
      const readings = acknowledged * (mode === 'one' ? 1 : PACK);
      await target.drained(readings);
      return { rate: readings / ((performance.now() - begun) / 1000), p99Ms };
    } finally {
      await target.stop();
    }
  });
}

async function startPotside(dir: string, way: Way, mode: Mode): Promise<Target> {
  const broker = way === 'mosquitto' ? await startMosquitto(dir) : null;
  const ready = await startServe(dir, await prepare(dir, siteYaml(mode === 'pack', broker?.mqtt ?? null)));
  const status = async (): Promise<{ connected: boolean; waiting: number; messages: number }> => ((await (await fetch(`${ready.url}/api/ready`)).json()) as { gateway: { connected: boolean; waiting: number; messages: number } }).gateway;
  await waitFor(async () => (await status()).connected);
  return {
    mqtt: broker?.mqtt ?? ready.mqtt,
    drained: (readings) => waitFor(async () => ((now) => now.waiting === 0 && now.messages >= readings / (mode === 'one' ? 1 : PACK))(await status())),
    stop: async () => {
      await ready.stop();
      if (broker) await end(broker.child);
    },
  };
}

async function startBare(dir: string, way: Way): Promise<Target> {
  const broker = way === 'mosquitto' ? await startMosquitto(dir) : null;
  const child = startScript(new URL('bare-intake.js', import.meta.url), [join(dir, 'bare.db'), ...(broker ? [broker.mqtt] : [])]);
  const lines = linesOf(child);
  const line = await nextLine(lines);
  let kept = 0;
  lines.on('line', (text: string) => (kept = Number(text)));
  return {
    mqtt: broker?.mqtt ?? (JSON.parse(line) as { mqtt: string }).mqtt,
    drained: (readings) => waitFor(() => Promise.resolve(kept >= readings)),
    stop: async () => {
      await end(child);
      if (broker) await end(broker.child);
    },
  };
}

async function startMosquitto(dir: string): Promise<{ mqtt: string; child: ChildProcess }> {
  const free = createServer().listen(0, '127.0.0.1');
  await once(free, 'listening');
  const { port } = free.address() as { port: number };
  await new Promise((resolve) => free.close(resolve));
  writeFileSync(join(dir, 'mosquitto.conf'), `listener ${port} 127.0.0.1\nallow_anonymous true\nuser root\nmax_inflight_messages 500\nmax_queued_messages 0\n`);
  const child = spawn('mosquitto', ['-c', join(dir, 'mosquitto.conf')], { stdio: 'ignore' });
  await waitFor(() => new Promise((resolve) => {
    const socket = createConnection({ port, host: '127.0.0.1' }, () => (socket.destroy(), resolve(true)));
    socket.on('error', () => resolve(false));
  }));
  return { mqtt: `mqtt://127.0.0.1:${port}`, child };
}

async function waitFor(holds: () => Promise<boolean>): Promise<void> {
  const giveUp = performance.now() + DRAIN_MS;
  while (!(await holds())) {
    if (performance.now() > giveUp) throw new Error(`not drained within ${DRAIN_MS} ms`);
    await pause(LOOK_EVERY_MS);
  }
}

import { once } from 'node:events';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { io, type Socket } from 'socket.io-client';
import { measure, type Result } from '../measure.ts';
import { end, inTempDir, linesOf, pause, prepare, type Running, startBare, startPotside, startScript } from '../processes.ts';

const RIGS = 200;
const RATE = 10_000;
const WARM_MS = 2_000;
const PROBE_EVERY_MS = 50;
/** Of the highest rate: p99 that it keeps under, and the rates that are tried, a quarter apart. */
const BOUND_MS = 100;
const RATES = Array.from({ length: 13 }, (_, step) => Math.round(4_000 * 1.25 ** step));
/** Share of the rate asked for that must have been acknowledged meanwhile. */
const KEPT = 0.95;

type Start = (dir: string) => Promise<Running>;
const startFloor: Start = (dir) => startBare(new URL('bare-server.js', import.meta.url), [join(dir, 'bare.db')]);
const startOurs: Start = async (dir) => startPotside(dir, await prepare(dir, `site: { id: bench, name: Bench, zone: UTC }\nrigs:\n${Array.from({ length: RIGS }, (_, rig) => `  - id: rig-${rig}\n`).join('')}`));

interface Probed {
  readonly p99Ms: number;
  /** Readings of the load acknowledged a second, while the alarms were raised. */
  readonly rate: number;
}

/** p99 from publishing a reading of 12.5 ppm to its alarm at a socket, under load, through the disk. */
export function benchLatency(): Promise<Result> {
  const p99 = async (start: Start): Promise<number> => (await probe(start, RATE, RIGS)).p99Ms;
  return measure(`reading to alarm on a page: p99 at ${RATE.toLocaleString('en')} readings/s`, 'ms', () => p99(startFloor), () => p99(startOurs), 3, 'new processes');
}

/** The highest of some rates at which the same stays under 100 ms at p99; found by halving, so a rate that fails by chance costs the round. */
export function benchHighestRate(): Promise<Result> {
  const highest = async (start: Start): Promise<number> => {
    let [held, failed] = [-1, RATES.length];
    let best = Number.NaN;
    while (failed - held > 1) {
      const middle = (held + failed) >> 1;
      const asked = RATES[middle] ?? 0;
      const { p99Ms, rate } = await probe(start, asked, RIGS / 2).catch((): Probed => ({ p99Ms: Number.POSITIVE_INFINITY, rate: 0 }));
      if (p99Ms < BOUND_MS && rate >= KEPT * asked) [held, best] = [middle, rate];
      else failed = middle;
    }
    return best;
  };
  return measure(`readings/s at which a reading is an alarm on a page within ${BOUND_MS} ms, p99`, 'readings/s', () => highest(startFloor), () => highest(startOurs), 2, 'new processes');
}

/** Under a load of so many readings a second, an alarm at each of so many rigs. */
function probe(start: Start, asked: number, alarms: number): Promise<Probed> {
  return inTempDir(async (dir) => {
    const running = await start(dir);
    const load = startScript(new URL('load.js', import.meta.url), [running.mqtt, String(asked), String(RIGS)]);
    const said: { readonly acknowledged: number; readonly atMs: number }[] = [];
    linesOf(load).on('line', (line: string) => said.push(JSON.parse(line) as (typeof said)[number]));
    try {
      await hearEachRig(running);
      await pause(WARM_MS);
      const first = said.at(-1) ?? { acknowledged: 0, atMs: 0 };
      const delays = await probeEachRig(running, alarms);
      const last = said.at(-1) ?? first;
      return {
        p99Ms: delays.toSorted((a, b) => a - b)[Math.floor(delays.length * 0.99) - 1] ?? Number.NaN,
        rate: ((last.acknowledged - first.acknowledged) / (last.atMs - first.atMs)) * 1000,
      };
    } finally {
      await end(load);
      await running.stop();
    }
  });
}

/** A monitor that was never heard is set up with its alarms first: that is no part of the time to an alarm in a shift. */
async function hearEachRig(running: Running): Promise<void> {
  const sender = await mqtt.connectAsync(running.mqtt);
  await Promise.all(Array.from({ length: RIGS }, (_, rig) => sender.publishAsync(`potside/bench/rig-${rig}/breathing-air-co`, '1', { qos: 1 })));
  await sender.endAsync();
}

/** One alarm a rig: a reading that raises it, and the time until a socket hears of it. */
async function probeEachRig(running: Running, rigs: number): Promise<number[]> {
  const socket: Socket = io(running.url, { transports: ['websocket'], extraHeaders: running.token === '' ? {} : { authorization: `Bearer ${running.token}` } });
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
  for (let rig = 0; rig < rigs; rig += 1) {
    sentAt.set(`rig-${rig}`, performance.now());
    sender.publish(`potside/bench/rig-${rig}/breathing-air-co`, '12.5', { qos: 1 });
    await pause(PROBE_EVERY_MS);
  }
  const giveUp = performance.now() + 10_000;
  while (sentAt.size > 0 && performance.now() < giveUp) await pause(50);
  socket.disconnect();
  await sender.endAsync(true);
  if (sentAt.size > 0) throw new Error(`${sentAt.size} of ${rigs} alarms never came`);
  return delays;
}

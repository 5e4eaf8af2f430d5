import { once } from 'node:events';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { io, type Socket } from 'socket.io-client';
import { measure, type Result } from '../measure.ts';
import { end, inTempDir, pause, prepare, type Running, startBare, startPotside, startScript } from '../processes.ts';

const RIGS = 200;
const RATE = 10_000;
const WARM_MS = 2_000;
const PROBE_EVERY_MS = 50;

type Start = (dir: string) => Promise<Running>;
const startFloor: Start = (dir) => startBare(new URL('bare-server.js', import.meta.url), [join(dir, 'bare.db')]);
const startOurs: Start = async (dir) => startPotside(dir, await prepare(dir, `site: { id: bench, name: Bench, zone: UTC }\nrigs:\n${Array.from({ length: RIGS }, (_, rig) => `  - id: rig-${rig}\n`).join('')}`));

/** p99 from publishing a reading of 12.5 ppm to its alarm at a socket, under load, through the disk. */
export function benchLatency(): Promise<Result> {
  return measure(`reading to alarm on a page: p99 at ${RATE.toLocaleString('en')} readings/s`, 'ms', () => probe(startFloor), () => probe(startOurs), 3, 'new processes');
}

function probe(start: Start): Promise<number> {
  return inTempDir(async (dir) => {
    const running = await start(dir);
    const load = startScript(new URL('load.js', import.meta.url), [running.mqtt, String(RATE), String(RIGS)]);
    try {
      await hearEachRig(running);
      await pause(WARM_MS);
      const delays = await probeEachRig(running);
      return delays.toSorted((a, b) => a - b)[Math.floor(delays.length * 0.99) - 1] ?? Number.NaN;
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
async function probeEachRig(running: Running): Promise<number[]> {
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
  for (let rig = 0; rig < RIGS; rig += 1) {
    sentAt.set(`rig-${rig}`, performance.now());
    sender.publish(`potside/bench/rig-${rig}/breathing-air-co`, '12.5', { qos: 1 });
    await pause(PROBE_EVERY_MS);
  }
  const giveUp = performance.now() + 10_000;
  while (sentAt.size > 0 && performance.now() < giveUp) await pause(50);
  if (sentAt.size > 0) throw new Error(`${sentAt.size} of ${RIGS} alarms never came`);
  socket.disconnect();
  await sender.endAsync(true);
  return delays;
}

import { once } from 'node:events';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { io } from 'socket.io-client';
import type { LivePoint } from '../../domain/wire/live.ts';
import { measure, type Result } from '../measure.ts';
import { inTempDir, prepare, type Running, startBare, startPotside } from '../processes.ts';
import { siteYaml } from './rigs.ts';

const RIGS = 4;
const POINT = 'breathing-air-co';
/** Above the bare server's limit: it only tells of what is. */
const VALUE = 12.5;

/** From the start of the process to the first live value at a socket. Floor: the bare server of the pipeline: Node, broker, SQLite, sockets. */
export async function benchStart(): Promise<Result> {
  return inTempDir(async (dir) => {
    const token = await prepare(dir, siteYaml(RIGS));
    let starts = 0;
    const floor = (): Promise<number> => firstValue(() => startBare(new URL('../pipeline/bare-server.js', import.meta.url), [join(dir, `bare-${++starts}.db`)]));
    return measure(`start of the process to the first live value at a socket, ${RIGS} rigs`, 'ms', floor, () => firstValue(() => startPotside(dir, token)), 5);
  });
}

async function firstValue(start: () => Promise<Running>): Promise<number> {
  const begun = performance.now();
  const server = await start();
  try {
    const socket = io(server.url, { transports: ['websocket'], forceNew: true, extraHeaders: server.token === '' ? {} : { authorization: `Bearer ${server.token}` } });
    const heard = new Promise<void>((resolve) => {
      socket.on('live', ({ points }: { points: readonly LivePoint[] }) => points.some(({ id, value }) => id === POINT && value === VALUE) && resolve());
      // The bare one tells of nothing else.
      if (server.token === '') socket.on('alarms', () => resolve());
    });
    const [sensor] = await Promise.all([mqtt.connectAsync(server.mqtt), once(socket as unknown as NodeJS.EventEmitter, 'connect')]);
    sensor.publish(`potside/bench/rig-0/${POINT}`, String(VALUE), { qos: 1 });
    await heard;
    const took = performance.now() - begun;
    socket.disconnect();
    await sensor.endAsync(true);
    return took;
  } finally {
    await server.stop();
  }
}

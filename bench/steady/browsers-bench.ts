import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { io } from 'socket.io-client';
import { compare, measure, type Result } from '../measure.ts';
import { end, inTempDir, linesOf, nextLine, pause, prepare, processorSeconds, type Running, startBare, startPotside, startScript } from '../processes.ts';
import { siteYaml } from './rigs.ts';

const BROWSERS = 200;
const RIGS = 4;
const POINTS = 15;
/** Until the code is compiled and the first snapshots are out. */
const WARM_MS = 3_000;
const ROUNDS = 3;
/** Readings come four times a second, as the messages leave: what goes on between them is not asked here. */
const STEPS = 4;
const WATCHED_MS = 8_000;
/** Messages that the bare server says over and over: five seconds of ours. */
const SAMPLE = 20;

/**
 * What 200 browsers cost a server at four messages a second, in shares of a core: what they add to ours, and the whole process, which here
 * also takes in, judges and records 60 readings a second; beside a bare Socket.IO server that only says the very same messages to as many.
 */
export async function benchBrowsers(): Promise<Result[]> {
  return inTempDir(async (dir) => {
    const token = await prepare(dir, siteYaml(RIGS));
    const sample = join(dir, 'messages.json');
    await withLoad(dir, token, async (potside) => writeFileSync(sample, JSON.stringify(await listen(potside))));
    const floor = async (): Promise<number> => {
      const bare = await startBare(new URL('bare-push.js', import.meta.url), [sample]);
      try {
        return await shareOf(bare, BROWSERS);
      } finally {
        await bare.stop();
      }
    };
    const whole: number[] = [];
    const product = async (): Promise<number> => {
      // One server, first without anybody and then with all of them: the neighbours on the machine are the same for both.
      const [without, withAll] = await withLoad(dir, token, async (potside) => [await shareOf(potside, 0), await shareOf(potside, BROWSERS)] as const);
      whole.push(withAll);
      return withAll - without;
    };
    const added = await measure(`${BROWSERS} browsers at 4 Hz: what they add to the server's share of a core`, '%', floor, product, ROUNDS, 'new processes');
    return [added, compare(`${BROWSERS} browsers at 4 Hz: all of the server, which takes in ${RIGS} rigs × ${POINTS} points`, '%', whole.map((value) => ({ floor: added.floor, value })))];
  });
}

async function withLoad<T>(dir: string, token: string, act: (potside: Running) => Promise<T>): Promise<T> {
  const potside = await startPotside(dir, token);
  const sensors = startScript(new URL('sensors.js', import.meta.url), [potside.mqtt, String(RIGS), String(POINTS), String(STEPS)]);
  try {
    await pause(WARM_MS);
    return await act(potside);
  } finally {
    await end(sensors);
    await potside.stop();
  }
}

/** What a page hears. */
async function listen({ url, token }: Running): Promise<unknown[]> {
  const socket = io(url, { transports: ['websocket'], extraHeaders: { authorization: `Bearer ${token}` } });
  const heard: unknown[] = [];
  await new Promise<void>((resolve) => socket.on('live', (message) => heard.push(message) === SAMPLE && resolve()));
  socket.disconnect();
  return heard;
}

/** Per cent of a core while so many look. @throws Error where they did not hear four messages a second */
async function shareOf(server: Running, browsers: number): Promise<number> {
  const looking = browsers === 0 ? null : startScript(new URL('browsers.js', import.meta.url), [server.url, server.token || '-', String(browsers)], 'pipe');
  const lines = looking && linesOf(looking);
  if (lines) await nextLine(lines);
  await pause(WARM_MS);
  looking?.stdin?.write('count\n');
  const [before, begun] = [processorSeconds(server.child), performance.now()];
  await pause(WATCHED_MS);
  const share = ((processorSeconds(server.child) - before) / ((performance.now() - begun) / 1000)) * 100;
  if (!looking || !lines) return share;
  const told = nextLine(lines);
  looking.stdin?.end();
  const { messagesPerSecond } = JSON.parse(await told) as { messagesPerSecond: number };
  await end(looking);
  if (messagesPerSecond < 3.5) throw new Error(`the browsers heard ${messagesPerSecond.toFixed(1)} messages a second, expected four: the machine is too busy for this figure`);
  return share;
}

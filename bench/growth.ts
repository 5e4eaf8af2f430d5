import { join } from 'node:path';
import type { SequencedReading } from '../domain/wire/uplink.ts';
import { SettableClock } from '../host/clock.ts';
import { createLog } from '../host/log.ts';
import { parseSiteYaml } from '../host/read-site-config.ts';
import { SiteWriter } from '../server/intake/site-writer.ts';
import { readTrace, type TracePoint } from '../server/record/read-trace.ts';
import { openSqliteStore } from '../server/record/sqlite-store.ts';
import { exponentOf } from './fit.ts';
import { levelOf } from './levels.ts';
import type { Result } from './measure.ts';
import { inMemory } from './processes.ts';
import { sensorsOf, siteYaml } from './steady/rigs.ts';

const SITE = 'bench';
const START_MS = Date.UTC(2026, 5, 1, 6);
/** Readings each case takes in, so that none is judged by fewer than another; and seconds at least. */
const READINGS = 60_000;
const SECONDS = 20;
const TIMES = 20;
const RIGS = [1, 10, 50, 200] as const;
const POINTS = [2, 4, 8, 17] as const;
const SHIFTS = [1, 10, 100, 1000] as const;
/** As the Shifts screen asks for them. */
const PAGE = 50;
const SHIFT_S = 10;

/** A site's writer over a record of its own, fed second by second. */
interface Fed {
  readonly writer: SiteWriter;
  second(): Promise<number>;
  act(action: object): Promise<void>;
}

type Store = ReturnType<typeof openSqliteStore>['store'];

/** Processor time of a second of a site against its number of rigs, and of sensors at each rig: fold, alarms, commit (the record is in memory: the disk's own time is no processor time). Floor: linear, an exponent of 1. */
export async function benchGrowth(): Promise<Result[]> {
  await costOfSecond(10, 15);
  const rigs: [number, number][] = [];
  for (const count of RIGS) rigs.push([count, await costOfSecond(count, 15)]);
  const points: [number, number][] = [];
  for (const count of POINTS) points.push([count, await costOfSecond(10, count)]);
  return [growth('processor time of a second of a site against its rigs, 15 points each', rigs), growth('processor time of a second of ten rigs against the points of each', points)];
}

/** Processor time of opening the list of shifts, and the trace of one, against the number of shifts in the record. Floor: linear, an exponent of 1. */
export async function benchShifts(): Promise<Result[]> {
  return inMemory(async (dir) => {
    const { store } = openSqliteStore(join(dir, 'record.db'));
    const list: [number, number][] = [];
    const trace: [number, number][] = [];
    const fed = await feed(store, 1, 15);
    let recorded = 0;
    for (const count of SHIFTS) {
      for (; recorded < count; recorded += 1) await shift(fed);
      while (await store.packNext(SITE));
      list.push([count, await meanMs(() => store.shiftRecord.list({ sites: [SITE], limit: PAGE }))]);
      const [newest] = await store.shiftRecord.list({ sites: [SITE], limit: 1 });
      if (!newest) throw new Error('no shift was recorded');
      const points = sensorsOf(1, 15).map(({ owner, point }): TracePoint => ({ owner, id: point, unit: '', gapMs: 60_000 }));
      const window = { fromMs: newest.shift.startedAtMs, toMs: newest.shift.endedAtMs ?? 0, width: 2000 };
      trace.push([count, await meanMs(() => readTrace(store, SITE, points, window))]);
    }
    await fed.writer.stop();
    await store.close();
    return [growth(`processor time of the list of shifts, ${PAGE} of it, against the shifts in the record`, list), growth('processor time of a trace of one shift against the shifts in the record', trace)];
  });
}

function growth(name: string, series: readonly (readonly [number, number])[]): Result {
  const exponent = exponentOf(series);
  return { name: `${name}: exponent`, unit: '', value: exponent, floor: 1, ratio: exponent, spread: [exponent, exponent], series };
}

/** Milliseconds of processor time for one second of a site. */
function costOfSecond(rigs: number, points: number): Promise<number> {
  return inMemory(async (dir) => {
    const { store } = openSqliteStore(join(dir, 'record.db'));
    const fed = await feed(store, rigs, points);
    const seconds = Math.max(SECONDS, Math.round(READINGS / (rigs * points)));
    // The first seconds find every point new.
    for (let second = 0; second < 5; second += 1) await fed.second();
    const before = process.cpuUsage();
    for (let second = 0; second < seconds; second += 1) await fed.second();
    const { user, system } = process.cpuUsage(before);
    await fed.writer.stop();
    await store.close();
    return (user + system) / 1000 / seconds;
  });
}

/** A very short shift, with all that belongs to one. */
async function shift({ second, act, writer }: Fed): Promise<void> {
  await act({ kind: 'start-shift', rig: 'rig-0' });
  for (let passed = 0; passed < SHIFT_S; passed += 1) await second();
  await act({ kind: 'end-shift', shift: writer.state.shifts.at(-1)?.id ?? '' });
}

async function feed(store: Store, rigs: number, points: number): Promise<Fed> {
  const clock = new SettableClock(START_MS);
  const writer = await SiteWriter.open({ siteId: SITE, store, clock, log: createLog('silent'), onCommitted: () => undefined });
  await writer.configure(parseSiteYaml(siteYaml(rigs), 'bench site.yaml'));
  const sensors = sensorsOf(rigs, points);
  let through = 0;
  let beat = 0;
  let keys = 0;
  return {
    writer,
    second: async () => {
      const atMs = START_MS + ++beat * 1000;
      clock.set(atMs);
      const after = through;
      const readings = sensors.map(({ owner, point, rig }): SequencedReading => ({ owner, point, observedAtMs: atMs - 10, receivedAtMs: atMs - 5, value: levelOf(point, beat + rig), quality: 'good', reason: null, backlog: false, sequence: ++through }));
      await writer.take({ site: SITE, gateway: 'g', epoch: 'e', lane: 'live', after, through, sentAtMs: atMs, readings, links: [] });
      return readings.length;
    },
    act: async (action) => {
      const { refusal } = await writer.act({ key: `key-${++keys}`, by: 'bench', role: 'supervisor', from: 'bench', ...action } as unknown as Parameters<SiteWriter['act']>[0]);
      if (refusal !== null) throw new Error(`${JSON.stringify(action)}: ${refusal}`);
    },
  };
}

/** Milliseconds of processor time, in the mean of several, once the code is compiled. */
async function meanMs(work: () => Promise<unknown>): Promise<number> {
  for (let time = 0; time < TIMES; time += 1) await work();
  const before = process.cpuUsage();
  for (let time = 0; time < TIMES; time += 1) await work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000 / TIMES;
}

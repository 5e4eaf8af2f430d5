import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { contiguousThrough } from '../../domain/wire/sequence-ranges.ts';
import { LIVE_WITHIN_MS, type UplinkBatch } from '../../domain/wire/uplink.ts';
import type { NewReading } from '../../gateway/outbox/outbox.ts';
import { openSqliteOutbox } from '../../gateway/outbox/sqlite-outbox.ts';
import { Uplink } from '../../gateway/uplink/uplink.ts';
import { SettableClock } from '../../host/clock.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import { openSqliteStore } from '../../server/record/sqlite-store.ts';
import { QUIET, until } from '../support/quiet.ts';
import { NOW } from '../support/server.ts';
import { SITE_YAML, testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';
import { collect } from '../support/collect.ts';

const RIGS = ['rig-a', 'rig-b', 'rig-c', 'rig-d'];
/** The fifteen: fourteen of a rig's own, and its share of what the site measures. */
const POINTS = [
  'supply-pressure', 'nozzle-pressure', 'pot-pressure', 'separator-pressure', 'breathing-air-pressure', 'breathing-air-temperature', 'breathing-air-oxygen', 'reserve-air-pressure',
  'air-line-dew-point', 'separator-temperature', 'steel-temperature', 'containment-suction', 'remote-control', 'breathing-air-co', 'ambient-temperature',
];
/** Of 8 h at 1 Hz every thirtieth second: the same stretch of time, a thirtieth of the readings. */
const STEP_MS = 30_000;
const STEPS = (8 * 3_600_000) / STEP_MS;
const BACKFILL_STEPS = 20;

interface SiteServer {
  readonly writer: SiteWriter;
  /** Log time and time of receipt of every reading that came live. */
  live(): Promise<{ late: boolean; sequence: number; receivedAtMs: number; loggedAtMs: number }[]>;
  alarms(): Promise<string[]>;
}

async function openServer(dir: string, name: string, clock: SettableClock): Promise<SiteServer> {
  const { store } = openSqliteStore(join(dir, `${name}.db`));
  const writer = await SiteWriter.open({ siteId: 'pier-9', store, clock, log: QUIET, onCommitted: () => undefined });
  await writer.configure(testSite(`${SITE_YAML}  - id: rig-c\n  - id: rig-d\n`));
  onTestFinished(async () => {
    await writer.stop();
    await store.close();
  });
  return {
    writer,
    async live() {
      return (await collect(store.readLog('pier-9', 0))).flatMap((entry) => (entry.kind === 'batch' ? entry.readings.map(({ late, sequence, receivedAtMs }) => ({ late, sequence, receivedAtMs, loggedAtMs: entry.atMs })) : []));
    },
    alarms: async () => (await store.journal('pier-9', { limit: 10_000 })).filter(({ kind, detail }) => kind === 'alarm' && detail['name'] === 'co-high').map(({ atMs, detail }) => `${(atMs - NOW) / 1000} ${String(detail['to'])}`),
  };
}

it('the office is cut off for eight hours: the site’s alarms go on, and then everything arrives, in order on each lane, new readings at once throughout', async () => {
  const dir = tempDir();
  const clock = new SettableClock(NOW);
  const [site, office] = await Promise.all([openServer(dir, 'site', clock), openServer(dir, 'office', clock)]);
  const outbox = openSqliteOutbox(join(dir, 'outbox.db'), { uplinks: ['here', 'office'], log: QUIET });
  let isCut = true;
  let turns = 0;
  const toOffice = async (batch: UplinkBatch) => {
    if (isCut) throw new Error('no line');
    // The backlog goes no faster than a batch a step, so that the backfill lasts while new readings come in.
    if (batch.lane === 'backlog') {
      await until(() => turns > 0, 'a turn', 60_000);
      turns -= 1;
    }
    return office.writer.take(batch);
  };
  const links = [
    new Uplink({ outbox, target: { name: 'here', deliver: (batch) => site.writer.take(batch) }, site: 'pier-9', clock, log: QUIET }),
    new Uplink({ outbox, target: { name: 'office', deliver: toOffice }, site: 'pier-9', clock, log: QUIET }),
  ];
  onTestFinished(async () => {
    turns = Number.MAX_SAFE_INTEGER;
    await Promise.all(links.map((link) => link.stop()));
    await outbox.close();
  });
  const step = async (co: number): Promise<void> => {
    const atMs = clock.nowMs();
    await outbox.put(RIGS.flatMap((owner) => POINTS.map((point): NewReading => ({ owner: point === 'ambient-temperature' ? 'pier-9' : owner, point, observedAtMs: atMs, receivedAtMs: atMs, value: point === 'breathing-air-co' && owner === 'rig-b' ? co : 1, quality: 'good', reason: null, backlog: false }))));
    // Polled without a pause: there are many steps.
    while (links[0]?.status().waiting !== 0) await new Promise((resolve) => setImmediate(resolve));
    clock.set(atMs + STEP_MS);
  };
  for (let at = 0; at < STEPS; at += 1) await step(at === STEPS / 2 ? 40 : 2);
  // In the middle of the cut the site had its alarm, as it came in.
  expect((await site.alarms()).at(-1)).toBe(`${(STEPS / 2) * 30} unacknowledged`);

  isCut = false;
  const cutEndMs = clock.nowMs();
  const behind = outbox.last();
  await until(() => links[1]?.status().connected === true, 'the line to the office', 60_000);
  for (let at = 0; at < BACKFILL_STEPS; at += 1) {
    await outbox.put(RIGS.map((owner): NewReading => ({ owner, point: 'pot-pressure', observedAtMs: clock.nowMs(), receivedAtMs: clock.nowMs(), value: 1, quality: 'good', reason: null, backlog: false })));
    // The clock stands: what arrives now arrives in no time of the log's.
    await until(() => office.writer.cursors()[0]?.ranges.at(-1)?.[1] === outbox.last(), 'the new readings at the office', 20_000);
    expect(contiguousThrough(office.writer.cursors()[0]?.ranges ?? [])).toBeLessThan(behind - 10_000);
    turns += at % 2;
    clock.set(clock.nowMs() + 1_000);
  }
  turns = Number.MAX_SAFE_INTEGER;
  await until(() => outbox.waiting() === 0, 'the backlog', 60_000);

  const arrived = await office.live();
  expect(arrived.map(({ sequence }) => sequence).toSorted((a, b) => a - b)).toEqual(Array.from({ length: outbox.last() }, (_, at) => at + 1));
  const [late, live] = [arrived.filter((reading) => reading.late), arrived.filter((reading) => !reading.late)];
  // What the live lane began with and was too old for it stands before the backlog.
  for (const lane of [late.filter(({ receivedAtMs }) => receivedAtMs < cutEndMs - LIVE_WITHIN_MS), live]) expect(lane.map(({ sequence }) => sequence)).toEqual(lane.map(({ sequence }) => sequence).toSorted((a, b) => a - b));
  // All that came in after the line stood again was live at once; what had waited is history, and sounds no horn at the office.
  expect(live.filter(({ sequence }) => sequence > behind)).toHaveLength(BACKFILL_STEPS * RIGS.length);
  expect(Math.max(...live.filter(({ sequence }) => sequence > behind).map(({ loggedAtMs, receivedAtMs }) => loggedAtMs - receivedAtMs))).toBeLessThan(1_000);
  expect(await office.alarms()).toEqual([]);
});

import { join } from 'node:path';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { Action } from '../../domain/site/log.ts';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import type { ChainLink } from '../../domain/wire/chain.ts';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import { nextHash, startHash } from '../../host/chain-hash.ts';
import { SettableClock } from '../../host/clock.ts';
import { parseSiteYaml } from '../../host/read-site-config.ts';
import { readShift, type ShiftData } from '../../server/export/shift-data.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import { openSqliteStore } from '../../server/record/sqlite-store.ts';
import type { Store } from '../../server/record/store.ts';
import { createSimulation } from '../../simulator/simulation.ts';
import { QUIET } from './quiet.ts';
import { batch } from './server.ts';

export interface SimulatedShift {
  readonly store: Store;
  readonly config: SiteConfig;
  readonly writer: SiteWriter;
  readonly id: string;
  readonly file: string;
  data(): Promise<ShiftData>;
  act(action: object): Promise<void>;
  close(): Promise<void>;
}

export interface ShiftPlan {
  readonly dir: string;
  readonly minutes: number;
  readonly scenario?: string;
  readonly startAtMs?: number;
  /** Minute → what somebody does then; `shift` and `rig` are filled in. */
  readonly acts?: Readonly<Record<number, readonly object[]>>;
  /** Minutes in which nothing comes in. */
  readonly silent?: readonly [from: number, to: number];
  /** Points that come late, from this minute on for a minute. */
  readonly ends?: boolean;
}

/** A shift of the simulated site, recorded as the server would: readings by the second, what people do by the minute. */
export async function simulateShift(plan: ShiftPlan): Promise<SimulatedShift> {
  const startAtMs = plan.startAtMs ?? Date.UTC(2026, 5, 1, 12);
  const simulation = createSimulation({ scenario: plan.scenario ?? 'quiet', seed: 1, rigs: 1, startAtMs, liveFromMs: startAtMs });
  const config = parseSiteYaml(simulation.siteYaml, 'test site.yaml');
  const topics = new TopicMap(config);
  const clock = new SettableClock(startAtMs);
  const file = join(plan.dir, 'record.db');
  const { store } = openSqliteStore(file);
  const writer = await SiteWriter.open({ siteId: config.site.id, store, clock, log: QUIET, onCommitted: () => undefined });
  await writer.configure(config);
  const rig = config.rigs[0]?.id ?? '';
  let keys = 0;
  let id = '';
  const act = async (action: object): Promise<void> => {
    const { refusal, shift } = await writer.act({ by: 'dana', role: 'supervisor', from: 'test', key: `key-${++keys}`, rig, shift: id, ...action } as unknown as Action);
    if (refusal !== null) throw new Error(`${JSON.stringify(action)}: ${refusal}`);
    id ||= shift?.id ?? '';
  };
  await act({ kind: 'start-shift', crew: [{ name: 'Ray', job: 'blaster' }, { name: 'Dana', job: 'supervisor' }], setup: { nozzleBore: { value: 7 / 16, unit: '[in_i]' }, hoseBore: { value: 1.25, unit: '[in_i]' }, hoseLength: { value: 100, unit: '[ft_i]' }, compressor: 'rented, 750 cfm', respirator: 'hood 2', breathingFilter: 'F-8, new on Monday', abrasive: 'garnet 30/60', notes: '' }, calibrations: [{ point: `${rig}/breathing-air-co`, certificate: 'C-17', done: '2026-05-01', due: '2026-11-01' }] });
  let sequence = 0;
  const hashes = new Map<string, string>();
  /** As the gateway's outbox makes them: a link for each owner of the batch. */
  const linksOf = (readings: readonly SequencedReading[]): ChainLink[] =>
    [...new Set(readings.map(({ owner }) => owner))].map((owner) => {
      const own = readings.filter((reading) => reading.owner === owner);
      const hash = nextHash(hashes.get(owner) ?? startHash('g1', 'e1', owner), own);
      hashes.set(owner, hash);
      return { owner, hash, through: own.at(-1)?.sequence ?? 0, receivedAtMs: own.at(-1)?.receivedAtMs ?? 0 };
    });
  for (let second = 1; second <= plan.minutes * 60; second += 1) {
    const atMs = startAtMs + second * 1000;
    clock.set(atMs);
    const messages = simulation.advanceTo(atMs);
    const isSilent = plan.silent !== undefined && second > plan.silent[0] * 60 && second <= plan.silent[1] * 60;
    const readings = isSilent ? [] : messages.flatMap((message) => takeIn(topics, { topic: message.topic, payload: Buffer.from(message.payload), retained: false }, message.atMs).readings);
    if (readings.length > 0) {
      const sequenced = readings.map((reading) => ({ ...reading, sequence: (sequence += 1) }));
      await writer.take({ ...batch(sequenced), site: config.site.id, links: linksOf(sequenced) });
    }
    if (second % 60 === 0) for (const action of plan.acts?.[second / 60] ?? []) await act(action);
  }
  if (plan.ends !== false) await act({ kind: 'end-shift' });
  return {
    store,
    config,
    writer,
    id,
    file,
    act,
    data: async () => {
      const recorded = await store.shiftRecord.find(id);
      if (!recorded) throw new Error(`no shift ${id}`);
      return readShift(store, config, recorded, clock.nowMs());
    },
    close: async () => {
      await writer.stop();
      await store.close();
    },
  };
}

/** What happens on a working shift, minute by minute. */
export const WORK: Readonly<Record<number, readonly object[]>> = {
  1: [{ kind: 'hood-in', name: 'Ray' }, { kind: 'entry', entry: 'blotter', value: null, place: '', text: 'clean' }, { kind: 'entry', entry: 'plug-gauge', value: 11.11, place: 'nozzle', text: '' }, { kind: 'entry', entry: 'abrasive-lot', value: null, place: '', text: 'lot 4711' }],
  4: [{ kind: 'entry', entry: 'needle', value: 92, place: 'nozzle', text: '' }, { kind: 'note', text: 'gasket at the second coupling changed', placedAtMs: null, point: 'nozzle-pressure', photo: null }],
  8: [{ kind: 'entry', entry: 'stopped', value: null, place: '', text: 'weather' }],
  10: [{ kind: 'entry', entry: 'resumed', value: null, place: '', text: '' }, { kind: 'entry', entry: 'pot-filled', value: 300, place: '', text: '' }, { kind: 'hand-over', to: 'Lee', text: 'half of bay 3 is done, =SUM(A1) written on the sheet' }],
  14: [{ kind: 'entry', entry: 'needle', value: 89, place: 'nozzle', text: '' }, { kind: 'entry', entry: 'area-done', value: 18.5, place: 'bay 3', text: '' }, { kind: 'hood-out', name: 'Ray' }],
};

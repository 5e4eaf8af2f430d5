import { findPointKind } from '../../domain/points/catalogue.ts';
import type { Quality, QualityReason } from '../../domain/points/reading.ts';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { ShiftItem } from '../../domain/shift/shift.ts';
import type { ToldMove } from '../../domain/shift/summary/alarms.ts';
import type { Series } from '../../domain/shift/summary/series.ts';
import { type ShiftSummary, summarise } from '../../domain/shift/summary/summarise.ts';
import { staleAfterMs } from '../../domain/site/point-state.ts';
import { layOut } from '../../domain/site/topology.ts';
import type { RecordedShift } from '../record/shift-record.ts';
import type { JournalItem, Store } from '../record/store.ts';

/** One point's rows over a shift, as columns. */
export interface PointRows {
  readonly owner: string;
  readonly point: string;
  readonly unit: string;
  readonly isComputed: boolean;
  readonly gapMs: number;
  readonly atMs: number[];
  readonly receivedAtMs: (number | null)[];
  /** As recorded, whatever its quality. */
  readonly value: (number | null)[];
  readonly quality: Quality[];
  readonly reason: (QualityReason | null)[];
  readonly late: boolean[];
  readonly sequence: (number | null)[];
}

/** All that is known of one shift. Every export and the summary are made from this, so that they tell the same numbers. */
export interface ShiftData {
  readonly recorded: RecordedShift;
  readonly config: SiteConfig;
  readonly rigName: string;
  /** How the rig is built, by the configuration. */
  readonly built: string;
  readonly endMs: number;
  readonly items: readonly ShiftItem[];
  /** Points the rig sees, measured and computed, in order of owner and point. */
  readonly points: readonly PointRows[];
  readonly moves: readonly ToldMove[];
  readonly journal: readonly JournalItem[];
  readonly summary: ShiftSummary;
}

/** How far back it is looked for alarms that stood when the shift began. */
const BEFORE_MS = 24 * 3_600_000;
const ALL = 1_000_000;

/** Reads a shift from the record and sums it up. An open one is taken up to `nowMs`. */
export async function readShift(store: Store, config: SiteConfig, recorded: RecordedShift, nowMs: number): Promise<ShiftData> {
  const { site, shift } = recorded;
  const fromMs = shift.startedAtMs;
  const endMs = shift.endedAtMs ?? nowMs;
  const owner = layOut(config).owners.get(shift.rig);
  const sees = owner?.sees ?? [shift.rig, site];
  const rig = config.rigs.find(({ id }) => id === shift.rig);
  const points: PointRows[] = [];
  for (const one of await store.recordedPoints(site)) {
    if (sees.includes(one.owner) && findPointKind(one.point) !== undefined) points.push(await readPoint(store, config, site, one.owner, one.point, fromMs, endMs));
  }
  const moves = (await store.alarmMoves(site, fromMs - BEFORE_MS, endMs + 1)).filter((move) => sees.includes(move.owner));
  const journal = (await store.journal(site, { limit: ALL, fromMs, toMs: Math.max(endMs, ...shift.signOffs.map(({ atMs }) => atMs)) }))
    .filter((row) => row.owner === null || sees.includes(row.owner))
    .toReversed();
  const items = await store.shiftRecord.items(shift.id);
  const summary = summarise({
    shift,
    endMs,
    items,
    // A rig's own point comes before its compressor's of the same name, and that before the site's.
    series: points.toSorted((a, b) => sees.indexOf(a.owner) - sees.indexOf(b.owner)).map(toSeries),
    moves,
    wanted: rig?.wanted ?? null,
    fitted: { nozzle: rig?.nozzle?.bore ?? null, hose: rig?.hose ?? null },
    elevation: config.site.elevation,
  });
  return { recorded, config, rigName: rig?.name ?? shift.rig, built: rig?.built ?? '', endMs, items, points, moves: moves.filter(({ atMs }) => atMs >= fromMs), journal, summary };
}

async function readPoint(store: Store, config: SiteConfig, site: string, owner: string, point: string, fromMs: number, toMs: number): Promise<PointRows> {
  const kind = findPointKind(point);
  if (!kind) throw new Error(`no point ${point} in the catalogue`);
  const rows: PointRows = { owner, point, unit: kind.unit, isComputed: kind.origin === 'computed', gapMs: staleAfterMs(kind, everyMs(config, owner, point) ?? kind.everyMs), atMs: [], receivedAtMs: [], value: [], quality: [], reason: [], late: [], sequence: [] };
  for await (const row of store.rows(site, owner, point, fromMs, toMs)) {
    rows.atMs.push(row.atMs);
    rows.receivedAtMs.push(row.receivedAtMs);
    rows.value.push(row.value);
    rows.quality.push(row.quality);
    rows.reason.push(row.reason);
    rows.late.push(row.late);
    rows.sequence.push(row.sequence);
  }
  return rows;
}

function everyMs(config: SiteConfig, owner: string, point: string): number | null {
  const sources = [{ id: config.site.id, points: config.points }, ...config.compressors, ...config.rigs].find(({ id }) => id === owner)?.points;
  return sources?.[point]?.everyMs ?? null;
}

/** The series as it is drawn and summed up: without what is not to be relied on. */
export function toSeries({ owner, point, gapMs, atMs, value, quality, reason }: PointRows): Series {
  return { owner, point, gapMs, atMs, value: value.map((one, index) => (quality[index] === 'bad' ? null : one)), reason };
}

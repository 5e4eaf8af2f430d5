import type { AlarmPriority, AlarmState } from './alarm.ts';
import type { AlarmHappening } from './alarm-step.ts';
import { isChattering, nextActivations } from './chattering.ts';
import { type FloodSettings, NO_FLOOD, USUAL_FLOOD, floodEndsAtMs, nextFlood } from './flood.ts';

/** One move of an alarm as the journal holds it. */
export interface AlarmRecord {
  readonly atMs: number;
  /** Id of the occurrence. */
  readonly id: string;
  readonly name: string;
  /** Rig, compressor or site. */
  readonly owner: string;
  readonly point: string;
  readonly priority: AlarmPriority;
  readonly what: AlarmHappening;
  readonly from: AlarmState;
  readonly to: AlarmState;
}

/** Performance over a period, by the measures of ISA-18.2 and EEMUA 191 (seen in a secondary source). */
export interface AlarmMetrics {
  readonly fromMs: number;
  readonly toMs: number;
  /** Calls: raised, or announced anew. */
  readonly annunciated: number;
  readonly perDay: number;
  readonly perHour: number;
  /** Mean in ten minutes. */
  readonly perTenMin: number;
  /** Most in any ten minutes, wherever they begin. */
  readonly peakTenMin: number;
  readonly peakHour: number;
  readonly peakMinute: number;
  /** Share of the period's ten-minute slots with more than ten. */
  readonly busySlots: number;
  readonly floods: number;
  /** Share of the period spent in a flood. */
  readonly inFlood: number;
  readonly byPriority: Readonly<Record<AlarmPriority, number>>;
  /** The ten most frequent, and their share of all calls. */
  readonly mostFrequent: readonly { readonly name: string; readonly owner: string; readonly count: number }[];
  readonly topTenShare: number;
  /** Alarms that activated three times within a minute. */
  readonly chattering: readonly { readonly name: string; readonly owner: string; readonly activations: number }[];
  /** Active for more than 24 h at some time of the period. */
  readonly stale: readonly { readonly id: string; readonly name: string; readonly owner: string; readonly sinceMs: number }[];
  readonly acknowledged: number;
  /** Ms from the call to the acknowledgement; null where there was none. */
  readonly medianToAcknowledgeMs: number | null;
  readonly slowestToAcknowledgeMs: number | null;
  readonly shelved: number;
  readonly outOfService: number;
}

const MINUTE_MS = 60_000;
const TEN_MIN_MS = 600_000;
const HOUR_MS = 3_600_000;
const DAY_MS = 86_400_000;
const BUSY_ABOVE = 10;

/** Works the measures out from records in order of time; those before the period tell what stood when it began. */
export function alarmMetrics(records: readonly AlarmRecord[], fromMs: number, toMs: number, settings: FloodSettings = USUAL_FLOOD): AlarmMetrics {
  const within = records.filter(({ atMs }) => atMs >= fromMs && atMs < toMs);
  const calls = within.filter(isCall);
  const at = calls.map(({ atMs }) => atMs);
  const spanMs = Math.max(1, toMs - fromMs);
  const slots = Math.max(1, Math.ceil(spanMs / TEN_MIN_MS));
  const inSlot = Array.from({ length: slots }, () => 0);
  for (const ms of at) inSlot[Math.floor((ms - fromMs) / TEN_MIN_MS)] = (inSlot[Math.floor((ms - fromMs) / TEN_MIN_MS)] ?? 0) + 1;
  const frequent = countBy(calls);
  const waits = waitsOf(records, fromMs, toMs).toSorted((a, b) => a - b);
  return {
    fromMs,
    toMs,
    annunciated: calls.length,
    perDay: (calls.length * DAY_MS) / spanMs,
    perHour: (calls.length * HOUR_MS) / spanMs,
    perTenMin: (calls.length * TEN_MIN_MS) / spanMs,
    peakTenMin: peak(at, TEN_MIN_MS),
    peakHour: peak(at, HOUR_MS),
    peakMinute: peak(at, MINUTE_MS),
    busySlots: inSlot.filter((count) => count > BUSY_ABOVE).length / slots,
    ...floodsOf(at, toMs, spanMs, settings),
    byPriority: countPriorities(calls),
    mostFrequent: frequent.slice(0, 10),
    topTenShare: calls.length === 0 ? 0 : frequent.slice(0, 10).reduce((sum, { count }) => sum + count, 0) / calls.length,
    chattering: chatteringOf(calls),
    stale: staleOf(records, fromMs, toMs),
    acknowledged: waits.length,
    medianToAcknowledgeMs: middle(waits),
    slowestToAcknowledgeMs: waits.at(-1) ?? null,
    shelved: within.filter(({ what }) => what === 'shelved').length,
    outOfService: within.filter(({ what }) => what === 'out-of-service').length,
  };
}

function isCall({ from, to }: AlarmRecord): boolean {
  return to === 'unacknowledged' && from !== 'unacknowledged';
}

/** Most of ascending times that lie within any stretch of `windowMs`. */
function peak(at: readonly number[], windowMs: number): number {
  let first = 0;
  let most = 0;
  at.forEach((ms, last) => {
    while ((at[first] ?? ms) <= ms - windowMs) first += 1;
    most = Math.max(most, last - first + 1);
  });
  return most;
}

function floodsOf(at: readonly number[], toMs: number, spanMs: number, settings: FloodSettings): { floods: number; inFlood: number } {
  let flood = NO_FLOOD;
  let floods = 0;
  let totalMs = 0;
  const end = (untilMs: number): void => {
    const endsAtMs = floodEndsAtMs(flood, settings);
    if (flood.sinceMs === null || endsAtMs === null || endsAtMs > untilMs) return;
    totalMs += endsAtMs - flood.sinceMs;
    flood = nextFlood(flood, settings, endsAtMs, 0);
  };
  for (const ms of at) {
    end(ms);
    const was = flood.sinceMs;
    flood = nextFlood(flood, settings, ms, 1);
    if (was === null && flood.sinceMs !== null) floods += 1;
  }
  end(toMs);
  if (flood.sinceMs !== null) totalMs += toMs - flood.sinceMs;
  return { floods, inFlood: totalMs / spanMs };
}

function countPriorities(calls: readonly AlarmRecord[]): Record<AlarmPriority, number> {
  const counts = { critical: 0, high: 0, medium: 0, low: 0 };
  for (const { priority } of calls) counts[priority] += 1;
  return counts;
}

/** Calls of each alarm, in order of time. */
function byAlarm(calls: readonly AlarmRecord[]): AlarmRecord[][] {
  const groups = new Map<string, AlarmRecord[]>();
  for (const call of calls) {
    const key = `${call.name}@${call.owner}/${call.point}`;
    const list = groups.get(key);
    if (list) list.push(call);
    else groups.set(key, [call]);
  }
  return [...groups.values()];
}

function countBy(calls: readonly AlarmRecord[]): { name: string; owner: string; count: number }[] {
  return byAlarm(calls)
    .flatMap((list) => (list[0] ? [{ name: list[0].name, owner: list[0].owner, count: list.length }] : []))
    .toSorted((a, b) => b.count - a.count || (a.name + a.owner < b.name + b.owner ? -1 : 1));
}

function chatteringOf(calls: readonly AlarmRecord[]): { name: string; owner: string; activations: number }[] {
  return byAlarm(calls).flatMap((list) => {
    let activations: number[] = [];
    const isOne = list.some(({ atMs }) => isChattering((activations = nextActivations(activations, atMs)), atMs));
    return isOne && list[0] ? [{ name: list[0].name, owner: list[0].owner, activations: list.length }] : [];
  });
}

/** Occurrences whose condition held for more than a day, up to the end of the period or beyond. */
function staleOf(records: readonly AlarmRecord[], fromMs: number, toMs: number): { id: string; name: string; owner: string; sinceMs: number }[] {
  const active = new Map<string, AlarmRecord>();
  const stale = new Map<string, { id: string; name: string; owner: string; sinceMs: number }>();
  const look = (record: AlarmRecord, untilMs: number): void => {
    if (untilMs > fromMs && untilMs - record.atMs > DAY_MS) stale.set(record.id, { id: record.id, name: record.name, owner: record.owner, sinceMs: record.atMs });
  };
  for (const record of records) {
    if (record.atMs >= toMs) break;
    const before = active.get(record.id);
    if (isCall(record) && !before) active.set(record.id, record);
    else if (before && (record.what === 'returned' || record.to === 'normal')) {
      look(before, record.atMs);
      active.delete(record.id);
    }
  }
  for (const record of active.values()) look(record, toMs);
  return [...stale.values()];
}

/** Ms from each call to its acknowledgement within the period. */
function waitsOf(records: readonly AlarmRecord[], fromMs: number, toMs: number): number[] {
  const called = new Map<string, number>();
  const waits: number[] = [];
  for (const record of records) {
    if (isCall(record)) called.set(record.id, record.atMs);
    if (record.what !== 'acknowledged' || record.atMs < fromMs || record.atMs >= toMs) continue;
    const since = called.get(record.id);
    if (since !== undefined) waits.push(record.atMs - since);
    called.delete(record.id);
  }
  return waits;
}

function middle(sorted: readonly number[]): number | null {
  const upper = sorted[Math.floor(sorted.length / 2)];
  const lower = sorted[Math.floor((sorted.length - 1) / 2)];
  return upper === undefined || lower === undefined ? null : (upper + lower) / 2;
}

import { type AlarmMetrics, type AlarmRecord, alarmMetrics } from '../../alarms/metrics.ts';
import { type AlarmPriority, SET_ASIDE } from '../../alarms/alarm.ts';
import type { Figure } from '../headline.ts';
import type { Stretch } from './series.ts';

/** A move of an alarm with what is told of it. */
export interface ToldMove extends AlarmRecord {
  readonly title: string;
  readonly value: number | null;
  readonly limit: number | null;
  readonly unit: string;
  readonly by: string | null;
}

/** One occurrence on the shift, from its raising on; that may have been before the shift. */
export interface AlarmOnShift {
  readonly id: string;
  readonly name: string;
  readonly title: string;
  readonly owner: string;
  readonly point: string;
  readonly priority: AlarmPriority;
  readonly raisedAtMs: number;
  /** It had been raised before the shift began, and still stood then. */
  readonly stoodBefore: boolean;
  readonly clearedAtMs: number | null;
  readonly acknowledgedAtMs: number | null;
  readonly acknowledgedBy: string | null;
  readonly outConfirmedAtMs: number | null;
  readonly audible: boolean;
  readonly value: number | null;
  readonly limit: number | null;
  readonly unit: string;
}

export interface AlarmsOnShift {
  readonly occurrences: readonly AlarmOnShift[];
  readonly audible: number;
  readonly byPriority: Readonly<Record<AlarmPriority, number>>;
  readonly metrics: Pick<AlarmMetrics, 'annunciated' | 'perHour' | 'peakTenMin' | 'floods' | 'inFlood' | 'chattering' | 'shelved' | 'outOfService'>;
  readonly response: {
    readonly medianToAcknowledge: Figure | null;
    readonly slowestToAcknowledge: Figure | null;
    /** From the call to *blaster out and accounted for*. */
    readonly slowestToOut: Figure | null;
    readonly neverAcknowledged: number;
  };
}

const isCall = ({ from, to }: AlarmRecord): boolean => to === 'unacknowledged' && from !== 'unacknowledged';
/** Low ones are shown and do not sound. */
const sounds = ({ priority }: Pick<AlarmRecord, 'priority'>): boolean => priority !== 'low';
const seconds = (ms: number | null): Figure | null => (ms === null ? null : { value: Math.round(ms / 100) / 10, unit: 's' });

/**
 * The alarms of a shift from the moves that the journal tells of, in order of time, those of the time before among them: what stood when
 * the shift began is its alarm too, but its call and how fast it was answered are not counted here. What came and went while suppressed
 * called nobody.
 */
export function alarmsOn(moves: readonly ToldMove[], shift: Stretch): AlarmsOnShift {
  const byId = new Map<string, AlarmOnShift>();
  for (const move of moves) {
    if (move.atMs > shift.toMs) break;
    if (move.atMs < shift.fromMs && move.to === 'normal') {
      byId.delete(move.id);
      continue;
    }
    const known = byId.get(move.id);
    const { id, name, title, owner, point, priority, value, limit, unit, atMs, to, what, by } = move;
    if (!known && (!isCall(move) || SET_ASIDE.includes(to))) continue;
    const held: AlarmOnShift = known ?? { id, name, title, owner, point, priority, raisedAtMs: atMs, stoodBefore: atMs < shift.fromMs, clearedAtMs: null, acknowledgedAtMs: null, acknowledgedBy: null, outConfirmedAtMs: null, audible: sounds(move), value, limit, unit };
    byId.set(id, {
      ...held,
      clearedAtMs: what === 'returned' || what === 'closed' ? (held.clearedAtMs ?? atMs) : isCall(move) ? null : held.clearedAtMs,
      acknowledgedAtMs: what === 'acknowledged' ? (held.acknowledgedAtMs ?? atMs) : held.acknowledgedAtMs,
      acknowledgedBy: what === 'acknowledged' ? (held.acknowledgedBy ?? by) : held.acknowledgedBy,
      outConfirmedAtMs: what === 'out-confirmed' ? (held.outConfirmedAtMs ?? atMs) : held.outConfirmedAtMs,
    });
  }
  const occurrences = [...byId.values()];
  const metrics = alarmMetrics(moves, shift.fromMs, shift.toMs + 1);
  const outs = occurrences.flatMap(({ raisedAtMs, stoodBefore, outConfirmedAtMs }) => (outConfirmedAtMs === null || stoodBefore ? [] : [outConfirmedAtMs - raisedAtMs]));
  const { annunciated, perHour, peakTenMin, floods, inFlood, chattering, shelved, outOfService } = metrics;
  return {
    occurrences,
    audible: moves.filter((move) => move.atMs >= shift.fromMs && move.atMs <= shift.toMs && isCall(move) && sounds(move)).length,
    byPriority: metrics.byPriority,
    metrics: { annunciated, perHour, peakTenMin, floods, inFlood, chattering, shelved, outOfService },
    response: {
      medianToAcknowledge: seconds(metrics.medianToAcknowledgeMs),
      slowestToAcknowledge: seconds(metrics.slowestToAcknowledgeMs),
      slowestToOut: outs.length === 0 ? null : seconds(Math.max(...outs)),
      neverAcknowledged: occurrences.filter(({ acknowledgedAtMs, audible }) => audible && acknowledgedAtMs === null).length,
    },
  };
}

import { type AlarmTrack, CLEAR, isAtRest } from '../alarms/alarm-step.ts';
import type { BoundRule } from '../alarms/bind-rules.ts';
import type { OwnerView } from './owner-view.ts';
import type { PointState } from './point-state.ts';

/** One alarm of the site: the rule where it applies, and where it stands. */
export interface SiteAlarm {
  readonly bound: BoundRule;
  readonly view: OwnerView;
  /** The point it is about; null for a rule that tests a state. */
  readonly watched: PointState | null;
  /** Place of its rule in the table: the order in which alarms of one point are judged. */
  readonly rank: number;
  track: AlarmTrack;
  /** What a state test remembers; plain data. */
  memory: unknown;
  /** The value last judged, for an alarm that falls due. */
  value: number | null;
  againAtMs: number | null;
}

/** The part of an alarm that a snapshot holds. */
export interface SavedAlarm {
  readonly track: AlarmTrack;
  readonly memory?: unknown;
  readonly value?: number | null;
  readonly againAtMs?: number | null;
}

export function openAlarm(bound: BoundRule, view: OwnerView, watched: PointState | null, rank: number, saved: SavedAlarm | undefined): SiteAlarm {
  return { bound, view, watched, rank, track: saved?.track ?? CLEAR, memory: saved?.memory, value: saved?.value ?? null, againAtMs: saved?.againAtMs ?? null };
}

/** Undefined for an alarm of which nothing need be held. */
export function saveAlarm({ track, memory, value, againAtMs, watched }: SiteAlarm): SavedAlarm | undefined {
  const isUntouched = isAtRest(track);
  if (watched) return isUntouched ? undefined : { track };
  if (isUntouched && memory === undefined && againAtMs === null) return undefined;
  return { track, memory, value, againAtMs };
}

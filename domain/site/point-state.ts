import { type PointKind, findPointKind, needPointKind } from '../points/catalogue.ts';
import { learnsInterval, learntEveryMs, withGap } from '../points/learn-interval.ts';
import { type PointKey, type Quality, type QualityReason, type Reading, pointKey } from '../points/reading.ts';

/** The newest of one point. After silence the last value stays, marked bad and stale: it is shown with its age, never as live. */
export interface PointState {
  readonly key: PointKey;
  readonly owner: string;
  readonly kind: PointKind;
  /** Expected time between readings: as the site says, else learnt from what arrives, else its kind's. */
  everyMs: number;
  /** The last gaps, ms, from which the interval is learnt; null where the site sets it or the kind does not learn. */
  gaps: readonly number[] | null;
  value: number | null;
  quality: Quality;
  reason: QualityReason | null;
  observedAtMs: number | null;
  receivedAtMs: number | null;
  /** When silence makes it stale; null once it is, and for computed points, which are as old as their inputs. */
  staleAtMs: number | null;
  /** What a computed point remembers between computations; plain data. */
  memory: unknown;
}

/** How long a point may be silent: its kind's default or three intervals, whichever is longer. */
export function staleAfterMs(kind: PointKind, everyMs: number): number {
  return Math.max(kind.staleAfterMs, 3 * everyMs);
}

export function unseenPoint(owner: string, id: string, everyMs: number | null, atMs: number): PointState {
  const kind = needPointKind(id);
  const every = everyMs ?? kind.everyMs;
  return {
    key: pointKey(owner, id),
    owner,
    kind,
    everyMs: every,
    gaps: everyMs === null && learnsInterval(kind) ? [] : null,
    value: null,
    quality: 'bad',
    reason: 'never-seen',
    observedAtMs: null,
    receivedAtMs: null,
    staleAtMs: kind.origin === 'measured' ? atMs + staleAfterMs(kind, every) : null,
    memory: undefined,
  };
}

/** What the site says of its interval; null for nothing, so that it is learnt. */
export function tellInterval(state: PointState, everyMs: number | null): void {
  if (everyMs !== null) {
    state.everyMs = everyMs;
    state.gaps = null;
  } else if (state.gaps === null) {
    state.everyMs = state.kind.everyMs;
    state.gaps = learnsInterval(state.kind) ? [] : null;
  }
}

function learnInterval(state: PointState, receivedAtMs: number): void {
  if (state.gaps === null || state.receivedAtMs === null) return;
  const gaps = withGap(state.gaps, receivedAtMs - state.receivedAtMs, state.kind);
  if (gaps === state.gaps) return;
  state.gaps = gaps;
  state.everyMs = learntEveryMs(gaps, state.kind);
}

/** Takes a live reading in. */
export function takeReading(state: PointState, reading: Reading, atMs: number): void {
  learnInterval(state, reading.receivedAtMs);
  state.value = reading.value;
  state.quality = reading.quality;
  state.reason = reading.reason;
  state.observedAtMs = reading.observedAtMs;
  state.receivedAtMs = reading.receivedAtMs;
  state.staleAtMs = atMs + staleAfterMs(state.kind, state.everyMs);
}

/** The part of a point's state that a snapshot holds. */
export type SavedPoint = Omit<PointState, 'kind' | 'key'> & { readonly id: string };

export function savePoint({ kind, key: _key, ...rest }: PointState): SavedPoint {
  return { ...rest, id: kind.id };
}

/** Undefined where the catalogue no longer has the point. */
export function loadPoint({ id, ...rest }: SavedPoint): PointState | undefined {
  const kind = findPointKind(id);
  return kind && { ...rest, kind, key: pointKey(rest.owner, id) };
}

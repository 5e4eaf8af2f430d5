import { type PointKind, findPointKind, needPointKind } from '../points/catalogue.ts';
import { type PointKey, type Quality, type QualityReason, type Reading, pointKey } from '../points/reading.ts';

/** The newest of one point. After silence the last value stays, marked bad and stale: it is shown with its age, never as live. */
export interface PointState {
  readonly key: PointKey;
  readonly owner: string;
  readonly kind: PointKind;
  readonly everyMs: number;
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
    value: null,
    quality: 'bad',
    reason: 'never-seen',
    observedAtMs: null,
    receivedAtMs: null,
    staleAtMs: kind.origin === 'measured' ? atMs + staleAfterMs(kind, every) : null,
    memory: undefined,
  };
}

/** Takes a live reading in. */
export function takeReading(state: PointState, reading: Reading, atMs: number): void {
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

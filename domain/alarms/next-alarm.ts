import type { AlarmOccurrence, AlarmState } from './alarm.ts';
import type { Verdict } from './judge.ts';

/**
 * Where one alarm is between normal and raised. `rising` and `falling` are the on- and off-delay running;
 * `active` is about the process, the occurrence's state about what people have done.
 */
export interface AlarmTrack {
  readonly process: 'clear' | 'rising' | 'active' | 'falling';
  /** When the running delay ends; null when none runs. */
  readonly dueAtMs: number | null;
  /** What was left of the delay when the gate closed; null when not frozen with one running. */
  readonly frozenMs: number | null;
  readonly occurrence: AlarmOccurrence | null;
}

export const CLEAR: AlarmTrack = { process: 'clear', dueAtMs: null, frozenMs: null, occurrence: null };

/** The part of a rule that the state machine needs. */
export interface AlarmTiming {
  readonly onDelayMs: number;
  readonly offDelayMs: number;
  readonly latched: boolean;
}

export type AlarmEvent =
  | { readonly kind: 'judged'; readonly verdict: Verdict; readonly value: number | null; readonly limit: number | null }
  | { readonly kind: 'due'; readonly value: number | null; readonly limit: number | null }
  | { readonly kind: 'freeze' }
  | { readonly kind: 'thaw' }
  | { readonly kind: 'acknowledge'; readonly by: string }
  | { readonly kind: 'reset'; readonly by: string };

export interface AlarmStep {
  readonly track: AlarmTrack;
  /** The occurrence after a change of its state; null where nothing that a journal tells happened. */
  readonly moved: { readonly from: AlarmState; readonly occurrence: AlarmOccurrence; readonly by: string | null } | null;
  /** Why an action was refused, in words; null otherwise. */
  readonly refusal: string | null;
}

/**
 * Decides the next state of one alarm, after ISA-18.2 / IEC 62682. Pure: time comes in, the move goes out.
 * Silence never clears an alarm: a `hold` verdict stops a running off-delay and leaves all else as it is.
 * `newId` names a new occurrence; it is called at most once.
 */
export function nextAlarm(timing: AlarmTiming, track: AlarmTrack, event: AlarmEvent, atMs: number, newId: () => string): AlarmStep {
  switch (event.kind) {
    case 'judged':
      return judged(timing, track, event, atMs, newId);
    case 'due':
      if (track.process === 'rising') return raise(track, event, atMs, newId);
      if (track.process === 'falling') return clear(timing, track, atMs);
      return same(track);
    case 'freeze':
      return same(track.dueAtMs === null ? track : { ...track, dueAtMs: null, frozenMs: Math.max(0, track.dueAtMs - atMs) });
    case 'thaw':
      return same(track.frozenMs === null ? track : { ...track, dueAtMs: atMs + track.frozenMs, frozenMs: null });
    case 'acknowledge':
      return acknowledge(track, event.by, atMs);
    case 'reset':
      return reset(track, event.by);
  }
}

type Judged = Extract<AlarmEvent, { kind: 'judged' }>;

function judged(timing: AlarmTiming, track: AlarmTrack, event: Judged, atMs: number, newId: () => string): AlarmStep {
  switch (track.process) {
    case 'clear':
      if (event.verdict !== 'alarm') return same(track);
      if (timing.onDelayMs === 0) return raise(track, event, atMs, newId);
      return same({ ...track, process: 'rising', dueAtMs: atMs + timing.onDelayMs });
    case 'rising':
      return same(event.verdict === 'clear' ? { ...track, process: 'clear', dueAtMs: null } : track);
    case 'active':
      if (event.verdict !== 'clear') return same(track);
      if (timing.offDelayMs === 0) return clear(timing, track, atMs);
      return same({ ...track, process: 'falling', dueAtMs: atMs + timing.offDelayMs });
    case 'falling':
      return same(event.verdict === 'clear' ? track : { ...track, process: 'active', dueAtMs: null });
  }
}

function raise(track: AlarmTrack, seen: { value: number | null; limit: number | null }, atMs: number, newId: () => string): AlarmStep {
  const standing = track.occurrence;
  const occurrence: AlarmOccurrence = standing
    ? { ...standing, state: 'unacknowledged', clearedAtMs: null, acknowledgedAtMs: null, acknowledgedBy: null }
    : { id: newId(), state: 'unacknowledged', raisedAtMs: atMs, clearedAtMs: null, acknowledgedAtMs: null, acknowledgedBy: null, value: seen.value, limit: seen.limit };
  return moved(standing?.state ?? 'normal', { ...track, process: 'active', dueAtMs: null }, occurrence, null);
}

function clear(timing: AlarmTiming, track: AlarmTrack, atMs: number): AlarmStep {
  const standing = track.occurrence;
  const cleared: AlarmTrack = { ...track, process: 'clear', dueAtMs: null };
  if (!standing) return same(cleared);
  const isAcknowledged = standing.state === 'acknowledged';
  const state: AlarmState = timing.latched
    ? isAcknowledged ? 'latched-acknowledged' : 'latched-unacknowledged'
    : isAcknowledged ? 'normal' : 'returned-to-normal-unacknowledged';
  return moved(standing.state, cleared, { ...standing, state, clearedAtMs: atMs }, null);
}

const AFTER_ACKNOWLEDGE: Partial<Record<AlarmState, AlarmState>> = {
  unacknowledged: 'acknowledged',
  'returned-to-normal-unacknowledged': 'normal',
  'latched-unacknowledged': 'latched-acknowledged',
};

function acknowledge(track: AlarmTrack, by: string, atMs: number): AlarmStep {
  const standing = track.occurrence;
  if (!standing) return refused(track, 'this alarm no longer stands');
  const state = AFTER_ACKNOWLEDGE[standing.state];
  if (!state) return refused(track, `already acknowledged by ${standing.acknowledgedBy ?? 'someone'}`);
  return moved(standing.state, track, { ...standing, state, acknowledgedAtMs: atMs, acknowledgedBy: by }, by);
}

function reset(track: AlarmTrack, by: string): AlarmStep {
  const standing = track.occurrence;
  if (!standing) return refused(track, 'this alarm no longer stands');
  if (standing.state === 'latched-unacknowledged') return refused(track, 'acknowledge it first: nobody has taken it yet');
  if (standing.state !== 'latched-acknowledged') return refused(track, 'its cause is still present, or it is not latched');
  return moved(standing.state, track, { ...standing, state: 'normal' }, by);
}

function same(track: AlarmTrack): AlarmStep {
  return { track, moved: null, refusal: null };
}

function refused(track: AlarmTrack, refusal: string): AlarmStep {
  return { track, moved: null, refusal };
}

function moved(from: AlarmState, track: AlarmTrack, occurrence: AlarmOccurrence, by: string | null): AlarmStep {
  const standing = occurrence.state === 'normal' ? null : occurrence;
  return { track: { ...track, occurrence: standing }, moved: { from, occurrence, by }, refusal: null };
}

import type { AlarmState } from './alarm.ts';
import { type AlarmEvent, type AlarmStep, type AlarmTiming, type AlarmTrack, asideOf, moved, raisedOccurrence, same } from './alarm-step.ts';
import { endOutOfService, endShelf, shelve, suppress, takeOutOfService, unsuppress } from './set-aside.ts';
import { acknowledge, confirmOut, reset } from './take-alarm.ts';

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
      return acknowledge(timing, track, event, atMs);
    case 'reset':
      return reset(timing, track, event.by);
    case 'confirm-out':
      return confirmOut(timing, track, event.by, atMs);
    case 'shelve':
      return shelve(timing, track, event, atMs, newId);
    case 'unshelve':
      return endShelf(timing, track, event.by, atMs);
    case 'unshelve-due':
      return endShelf(timing, track, null, atMs);
    case 'suppress':
      return suppress(track, event.because);
    case 'unsuppress':
      return unsuppress(timing, track, event, atMs, newId);
    case 'out-of-service':
      return takeOutOfService(timing, track, event, atMs, newId);
    case 'in-service':
      return endOutOfService(timing, track, event.by, atMs);
    case 'in-service-due':
      return endOutOfService(timing, track, null, atMs);
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
      return same(event.verdict === 'clear' ? { ...track, process: 'clear', dueAtMs: null, frozenMs: null } : track);
    case 'active':
      if (event.verdict !== 'clear') return same(track);
      if (offDelay(timing, track) === 0) return clear(timing, track, atMs);
      return same({ ...track, process: 'falling', dueAtMs: atMs + offDelay(timing, track) });
    case 'falling':
      return same(event.verdict === 'clear' ? track : { ...track, process: 'active', dueAtMs: null, frozenMs: null });
  }
}

/** What the design suppressed from its beginning to its end needs no time to calm down: test gas must not page anybody afterwards. */
function offDelay(timing: AlarmTiming, track: AlarmTrack): number {
  return track.suppressed !== null && !track.occurrence?.announced ? 0 : timing.offDelayMs;
}

function raise(track: AlarmTrack, seen: { value: number | null; limit: number | null }, atMs: number, newId: () => string): AlarmStep {
  const standing = track.occurrence;
  const active: AlarmTrack = { ...track, process: 'active', dueAtMs: null, frozenMs: null };
  const aside = asideOf(track);
  // What only ever happened under suppression is no occurrence: it would fill the journal with what means nothing.
  if (aside === 'suppressed-by-design' && !standing) return same(active);
  return moved('raised', standing?.state ?? 'normal', active, raisedOccurrence(standing, aside ?? 'unacknowledged', seen, atMs, newId));
}

function clear(timing: AlarmTiming, track: AlarmTrack, atMs: number): AlarmStep {
  const standing = track.occurrence;
  const cleared: AlarmTrack = { ...track, process: 'clear', dueAtMs: null, frozenMs: null };
  if (!standing) return same(cleared);
  const state = asideOf(track) ?? afterReturn(timing, standing.state === 'acknowledged', standing.outConfirmedAtMs !== null);
  return moved('returned', standing.state, cleared, { ...standing, state, clearedAtMs: atMs });
}

function afterReturn(timing: AlarmTiming, isAcknowledged: boolean, isOutConfirmed: boolean): AlarmState {
  if (timing.latched) return isAcknowledged ? 'latched-acknowledged' : 'latched-unacknowledged';
  // Bad air that has gone is no proof that the blaster is out of it.
  if (timing.needsOut) return !isAcknowledged ? 'returned-to-normal-unacknowledged' : isOutConfirmed ? 'normal' : 'latched-acknowledged';
  return isAcknowledged || timing.autoAcknowledge ? 'normal' : 'returned-to-normal-unacknowledged';
}

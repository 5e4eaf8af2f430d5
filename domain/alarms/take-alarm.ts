import type { AlarmState } from './alarm.ts';
import { type AlarmStep, type AlarmTiming, type AlarmTrack, asideOf, moved, refused } from './alarm-step.ts';

const GONE = 'this alarm no longer stands';

/**
 * *I have it*. The first person's name stands. Somebody at the rig may take it once more after somebody elsewhere did: only that
 * silences the rig.
 */
export function acknowledge(timing: AlarmTiming, track: AlarmTrack, event: { readonly by: string; readonly atRig: boolean }, atMs: number): AlarmStep {
  const standing = track.occurrence;
  if (!standing) return refused(track, GONE);
  if (asideOf(track)) return refused(track, `it is ${standing.state.replaceAll('-', ' ')}: there is nothing to acknowledge`);
  const { by, atRig } = event;
  const state = afterAcknowledge(timing, standing.state, standing.outConfirmedAtMs !== null);
  if (state) return moved('acknowledged', standing.state, track, { ...standing, state, acknowledgedAtMs: atMs, acknowledgedBy: by, silencedAtRigBy: atRig ? by : null }, by);
  if (atRig && standing.silencedAtRigBy === null) return moved('silenced-at-rig', standing.state, track, { ...standing, silencedAtRigBy: by }, by);
  return refused(track, `already acknowledged by ${standing.acknowledgedBy ?? 'someone'}`);
}

function afterAcknowledge(timing: AlarmTiming, state: AlarmState, isOutConfirmed: boolean): AlarmState | null {
  if (state === 'unacknowledged') return 'acknowledged';
  if (state === 'latched-unacknowledged') return 'latched-acknowledged';
  if (state !== 'returned-to-normal-unacknowledged') return null;
  return timing.needsOut && !isOutConfirmed ? 'latched-acknowledged' : 'normal';
}

/** *Blaster out and accounted for*: the second confirmation of CO and loss of air. */
export function confirmOut(timing: AlarmTiming, track: AlarmTrack, by: string, atMs: number): AlarmStep {
  const standing = track.occurrence;
  if (!standing) return refused(track, GONE);
  if (!timing.needsOut) return refused(track, 'this alarm asks for no such confirmation');
  if (asideOf(track)) return refused(track, `it is ${standing.state.replaceAll('-', ' ')}`);
  if (standing.outConfirmedBy !== null) return refused(track, `already confirmed by ${standing.outConfirmedBy}`);
  const isDone = standing.state === 'latched-acknowledged' && !timing.latched;
  return moved('out-confirmed', standing.state, track, { ...standing, state: isDone ? 'normal' : standing.state, outConfirmedAtMs: atMs, outConfirmedBy: by }, by);
}

/** Lets a latched alarm go whose cause is gone. */
export function reset(timing: AlarmTiming, track: AlarmTrack, by: string): AlarmStep {
  const standing = track.occurrence;
  if (!standing) return refused(track, GONE);
  if (standing.state === 'latched-unacknowledged') return refused(track, 'acknowledge it first: nobody has taken it yet');
  if (standing.state !== 'latched-acknowledged') return refused(track, 'its cause is still present, or it is not latched');
  if (timing.needsOut && standing.outConfirmedBy === null) return refused(track, 'confirm first that the blaster is out and accounted for');
  return moved('reset', standing.state, track, { ...standing, state: 'normal' }, by);
}

import type { AlarmState, SetAside } from './alarm.ts';
import { type AlarmHappening, type AlarmStep, type AlarmTiming, type AlarmTrack, type PersonEvent, asideOf, moved, raisedOccurrence, refused, same, stateOf } from './alarm-step.ts';

/** Why an alarm may be shelved; the text says the rest. */
export const SHELF_REASONS = ['sensor-faulty', 'maintenance', 'known-cause', 'nuisance', 'waiting-for-part', 'other'] as const;

/** A shelf ends with the shift at the latest. */
export const MAX_SHELF_MS = 12 * 3_600_000;
/** Longer than this and the alarm is not out of service but given up. */
export const MAX_OUT_OF_SERVICE_MS = 90 * 86_400_000;

/** Who may shelve what a supervisor may, and what only a safety officer may. */
const SHELVERS: Readonly<Record<'supervisor' | 'safety-officer', readonly string[]>> = {
  supervisor: ['supervisor', 'safety-officer', 'administrator'],
  'safety-officer': ['safety-officer'],
};

export function mayShelve(shelvableBy: AlarmTiming['shelvableBy'], role: string): boolean {
  return shelvableBy !== null && SHELVERS[shelvableBy].includes(role);
}

type Shelve = Extract<PersonEvent, { kind: 'shelve' }>;

export function shelve(timing: AlarmTiming, track: AlarmTrack, event: Shelve, atMs: number, newId: () => string): AlarmStep {
  const { by, reason, text, untilMs } = event;
  if (!mayShelve(timing.shelvableBy, event.role)) return refused(track, timing.shelvableBy === null ? 'this alarm can’t be shelved' : `a ${event.role.replaceAll('-', ' ')} can’t shelve this alarm`);
  if (track.outOfService) return refused(track, `already out of service, by ${track.outOfService.by}`);
  if (track.shelved) return refused(track, `already shelved by ${track.shelved.by}`);
  if (!(SHELF_REASONS as readonly string[]).includes(reason)) return refused(track, `no such reason; expected one of ${SHELF_REASONS.join(', ')}`);
  if (text.trim() === '') return refused(track, 'say in words why');
  if (!(untilMs > atMs)) return refused(track, 'the end of the shelf is already past');
  if (untilMs - atMs > MAX_SHELF_MS) return refused(track, 'a shelf lasts one shift at most, 12 h');
  return putAside('shelved', { ...track, shelved: { untilMs, by, reason, text, approvedBy: null } }, track, atMs, newId, by);
}

type OutOfService = Extract<PersonEvent, { kind: 'out-of-service' }>;

/** Out of service is not a longer shelf: somebody else must have agreed, and it has an end. */
export function takeOutOfService(timing: AlarmTiming, track: AlarmTrack, event: OutOfService, atMs: number, newId: () => string): AlarmStep {
  const { by, approvedBy, text, untilMs } = event;
  if (timing.shelvableBy === null) return refused(track, 'this alarm can’t be taken out of service');
  if (track.outOfService) return refused(track, `already out of service, by ${track.outOfService.by}`);
  if (approvedBy.trim() === '' || approvedBy === by) return refused(track, 'somebody else must approve it');
  if (text.trim() === '') return refused(track, 'say in words why');
  if (!(untilMs > atMs)) return refused(track, 'its end is already past');
  if (untilMs - atMs > MAX_OUT_OF_SERVICE_MS) return refused(track, 'out of service lasts 90 days at most');
  const outOfService: SetAside = { untilMs, by, reason: 'out-of-service', text, approvedBy };
  return putAside('out-of-service', { ...track, outOfService }, track, atMs, newId, by);
}

/** What a person sets aside is listed, so a quiet alarm too gets an occurrence. */
function putAside(what: 'shelved' | 'out-of-service', next: AlarmTrack, track: AlarmTrack, atMs: number, newId: () => string, by: string): AlarmStep {
  const state: AlarmState = asideOf(next) ?? what;
  const standing = track.occurrence ?? { ...raisedOccurrence(null, state, { value: null, limit: null }, atMs, newId), clearedAtMs: isInAlarm(track) ? null : atMs };
  return moved(what, stateOf(track), next, { ...standing, state }, by);
}

/** A quiet alarm is suppressed without a word; one that stands is told to the journal. */
export function suppress(track: AlarmTrack, because: string): AlarmStep {
  if (track.suppressed === because) return same(track);
  const next = { ...track, suppressed: because };
  const standing = track.occurrence;
  if (track.suppressed !== null || !standing || asideOf(track)) return same(next);
  return moved('suppressed', standing.state, next, { ...standing, state: 'suppressed-by-design' });
}

export function unsuppress(timing: AlarmTiming, track: AlarmTrack, seen: { readonly value: number | null; readonly limit: number | null }, atMs: number, newId: () => string): AlarmStep {
  if (track.suppressed === null) return same(track);
  const next = { ...track, suppressed: null };
  if (track.occurrence || !isInAlarm(track)) return release(timing, next, track, atMs, 'unsuppressed', null);
  return moved('raised', stateOf(track), next, raisedOccurrence(null, 'unacknowledged', seen, atMs, newId));
}

function isInAlarm({ process }: AlarmTrack): boolean {
  return process === 'active' || process === 'falling';
}

export function endShelf(timing: AlarmTiming, track: AlarmTrack, by: string | null, atMs: number): AlarmStep {
  if (!track.shelved) return refused(track, 'it is not shelved');
  return release(timing, { ...track, shelved: null }, track, atMs, 'unshelved', by);
}

export function endOutOfService(timing: AlarmTiming, track: AlarmTrack, by: string | null, atMs: number): AlarmStep {
  if (!track.outOfService) return refused(track, 'it is not out of service');
  return release(timing, { ...track, outOfService: null }, track, atMs, 'in-service', by);
}

/**
 * Back to what the live condition dictates: still in alarm, it is announced anew, whoever had acknowledged it before; gone, it is
 * normal, except that what was announced and is latched waits for its reset.
 */
function release(timing: AlarmTiming, next: AlarmTrack, track: AlarmTrack, atMs: number, what: AlarmHappening, by: string | null): AlarmStep {
  const standing = track.occurrence;
  if (!standing) return same(next);
  const { value, limit } = standing;
  const aside = asideOf(next);
  if (aside) return aside === standing.state ? same(next) : moved(what, standing.state, next, { ...standing, state: aside }, by);
  if (isInAlarm(track)) {
    return moved(what, standing.state, next, raisedOccurrence(standing, 'unacknowledged', { value, limit }, atMs, () => standing.id), by);
  }
  const state: AlarmState = timing.latched && standing.announced ? 'latched-unacknowledged' : 'normal';
  const nobody = { acknowledgedAtMs: null, acknowledgedBy: null, silencedAtRigBy: null } as const;
  return moved(what, standing.state, next, { ...standing, ...(state === 'normal' ? {} : nobody), state, clearedAtMs: standing.clearedAtMs ?? atMs }, by);
}

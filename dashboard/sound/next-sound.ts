import { type AlarmPriority, PRIORITIES } from '../../domain/alarms/alarm.ts';

/** Two and no more: CO and loss of air, and everything else. */
export type Pattern = 'air' | 'other';

/** Something that wants to be heard. A key is never used again: an alarm raised anew has another. */
export interface SoundCause {
  readonly key: string;
  readonly pattern: Pattern;
  readonly priority: AlarmPriority;
}

/** Quiet for a while is not *I have it*: nothing is acknowledged by it, and anything as urgent ends it. */
export interface Silence {
  readonly untilMs: number;
  readonly known: readonly string[];
  readonly priority: AlarmPriority;
}

export interface Sound {
  /** A person on this device wants it. Never kept over a reload: browsers give sound only after a touch. */
  readonly isArmed: boolean;
  /** Armed, but the browser or the device doesn't let it through. */
  readonly isBlocked: boolean;
  readonly causes: readonly SoundCause[];
  readonly silence: Silence | null;
  readonly test: { readonly pattern: Pattern; readonly untilMs: number } | null;
}

export type SoundEvent =
  | { readonly kind: 'arm' | 'disarm' | 'unsilence' }
  | { readonly kind: 'blocked'; readonly isBlocked: boolean }
  | { readonly kind: 'causes'; readonly causes: readonly SoundCause[] }
  | { readonly kind: 'silence' | 'tick'; readonly atMs: number }
  | { readonly kind: 'test'; readonly pattern: Pattern; readonly atMs: number };

export const SOUND_OFF: Sound = { isArmed: false, isBlocked: false, causes: [], silence: null, test: null };
export const SILENCE_MS = 120_000;
const TEST_MS = 3_500;

export function nextSound(sound: Sound, event: SoundEvent): Sound {
  switch (event.kind) {
    case 'arm':
      return sound.isArmed ? sound : { ...sound, isArmed: true, silence: null };
    case 'disarm':
      return { ...sound, isArmed: false, silence: null, test: null };
    case 'unsilence':
      return { ...sound, silence: null };
    case 'blocked':
      return sound.isBlocked === event.isBlocked ? sound : { ...sound, isBlocked: event.isBlocked };
    case 'causes':
      return takeCauses(sound, event.causes);
    case 'silence':
      return sound.isArmed && sound.causes.length > 0 ? { ...sound, silence: silenceNow(sound.causes, event.atMs), test: null } : sound;
    case 'test':
      return sound.isArmed ? { ...sound, test: { pattern: event.pattern, untilMs: event.atMs + TEST_MS } } : sound;
    case 'tick': {
      const isOver = sound.silence !== null && event.atMs >= sound.silence.untilMs;
      const isTested = sound.test !== null && event.atMs >= sound.test.untilMs;
      return isOver || isTested ? { ...sound, silence: isOver ? null : sound.silence, test: isTested ? null : sound.test } : sound;
    }
  }
}

/** What is to be heard now. A real alarm drowns a test; of two patterns the air's wins. */
export function heard(sound: Sound): Pattern | null {
  if (!sound.isArmed) return null;
  if (sound.causes.length > 0 && sound.silence === null) return sound.causes.some((c) => c.pattern === 'air') ? 'air' : 'other';
  return sound.test?.pattern ?? null;
}

function takeCauses(sound: Sound, causes: readonly SoundCause[]): Sound {
  const { silence } = sound;
  const breaks = (cause: SoundCause): boolean =>
    silence !== null && !silence.known.includes(cause.key) && (cause.pattern === 'air' || PRIORITIES.indexOf(cause.priority) <= PRIORITIES.indexOf(silence.priority));
  const isBroken = causes.length === 0 || causes.some(breaks);
  return { ...sound, causes, silence: isBroken ? null : silence };
}

function silenceNow(causes: readonly SoundCause[], atMs: number): Silence {
  const priority = PRIORITIES.find((p) => causes.some((c) => c.priority === p)) ?? 'low';
  return { untilMs: atMs + SILENCE_MS, known: causes.map((c) => c.key), priority };
}

import type { AlarmRecord } from '../../domain/alarms/metrics.ts';
import type { Reading } from '../../domain/points/reading.ts';
import type { Finding } from '../../domain/site/log.ts';
import { type KnownAlarm, SecondLook } from '../../domain/site/second-look.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import type { Store } from '../record/store.ts';
import type { Site } from './site.ts';

const LOOK_MS = 1_000;
/** A backlog counts as in when nothing late came for so long, ms of log time. */
const QUIET_MS = 5_000;
/** So much before the stretch is folded first, so that the site is known when it begins. */
const WARM_UP_MS = 300_000;
/** No stretch is looked at further back than a gateway can hold. */
const LONGEST_MS = 8 * 86_400_000;
/** One piece of the fold: some tens of ms at four rigs. */
const PIECE_MS = 60_000;
/** An alarm raised so long before a stretch may still have stood in it. */
const KNOWN_BEFORE_MS = 86_400_000;

export interface FindLaterOptions {
  readonly writer: Site;
  readonly store: Store;
  readonly clock: Clock;
  readonly log: Log;
}

/**
 * Late readings are not judged live. Once a backlog is in, its stretch of time is looked at again beside the live state, and what
 * would have been an alarm is written to the journal as found later: told, never sounded. Made in small pieces, so that the live
 * way does not wait.
 */
export function findLater(options: FindLaterOptions): { stop(): Promise<void> } {
  const { writer, clock, log } = options;
  let isStopped = false;
  let looking: Promise<void> | null = null;
  const look = async (): Promise<void> => {
    const { late } = writer.state;
    if (!writer.isOurs || !late || clock.nowMs() < late.atMs + QUIET_MS) return;
    const findings = await lookAgain(options, Math.max(late.fromMs, late.toMs - LONGEST_MS), late.toMs, () => isStopped);
    if (findings && writer.isOurs) await writer.noteFound(late.seq, findings);
  };
  const timer = setInterval(() => {
    looking ??= look()
      .catch((error: unknown) => log.error({ err: error, site: writer.siteId }, 'late readings could not be looked at again'))
      .finally(() => (looking = null));
  }, LOOK_MS);
  timer.unref();
  return {
    stop: async () => {
      isStopped = true;
      clearInterval(timer);
      await looking;
    },
  };
}

/** Null where it was stopped. */
async function lookAgain({ writer, store, clock }: FindLaterOptions, fromMs: number, toMs: number, isStopped: () => boolean): Promise<Finding[] | null> {
  const startMs = fromMs - WARM_UP_MS;
  const second = new SecondLook(writer.state, startMs, fromMs);
  const points = [...writer.state.points()].filter(({ kind }) => kind.origin === 'measured').map(({ owner, kind }) => ({ owner, id: kind.id }));
  for (let pieceMs = startMs; pieceMs <= toMs; pieceMs += PIECE_MS) {
    if (isStopped()) return null;
    const readings: Reading[] = [];
    for (const { owner, id } of points) readings.push(...(await store.readings(writer.siteId, owner, id, pieceMs, Math.min(pieceMs + PIECE_MS, toMs + 1))));
    second.take(readings.toSorted((a, b) => a.observedAtMs - b.observedAtMs));
    await new Promise((resolve) => setImmediate(resolve));
  }
  return second.findings(knownAlarms(await store.alarmMoves(writer.siteId, fromMs - KNOWN_BEFORE_MS, clock.nowMs() + 1)));
}

/** Alarms as stretches of time, from their moves. */
function knownAlarms(moves: readonly AlarmRecord[]): KnownAlarm[] {
  const known = new Map<string, { -readonly [K in keyof KnownAlarm]: KnownAlarm[K] }>();
  for (const { id, name, owner, point, atMs, what } of moves) {
    const alarm = known.get(id) ?? { name, owner, point, fromMs: atMs, toMs: null };
    known.set(id, alarm);
    if (what === 'returned' || what === 'closed') alarm.toMs = atMs;
    else if (what === 'raised') alarm.toMs = null;
  }
  return [...known.values()];
}

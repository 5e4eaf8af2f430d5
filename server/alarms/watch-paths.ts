import { randomUUID } from 'node:crypto';
import type { AlarmPath } from '../../domain/alarms/situation.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import type { Site } from '../intake/site.ts';
import { standingAlarms } from '../live/describe-alarm.ts';

const LOOK_MS = 1_000;
/** So long an urgent alarm may stand while neither beacon nor page can have told anybody. */
const UNHEARD_MS = 30_000;

export interface PathWatchOptions {
  readonly writer: Site;
  readonly clock: Clock;
  readonly log: Log;
  /** Null where this server has no broker to tell a beacon on. */
  readonly isBeaconConnected: () => boolean | null;
  readonly pagesConnected: () => number;
  /** What nobody on the plan was told in time, in words; null where somebody was told of everything. */
  readonly untold: () => string | null;
}

/**
 * Watches the ways on which alarms reach people, and tells the log when one dies or lives again: what follows is the evaluator's. A
 * record that refuses to be written can't hold this either; it is told when it takes writing again.
 */
export function watchPaths({ writer, clock, log, isBeaconConnected, pagesConnected, untold }: PathWatchOptions): { stop(): void } {
  let notRecordingSinceMs: number | null = null;
  let isTelling = false;

  const tell = async (path: AlarmPath, isDead: boolean, detail: string): Promise<void> => {
    await writer.act({ kind: 'alarm-path', path, isDead, detail, by: 'potside', role: 'system', from: 'server', key: randomUUID() });
  };
  const isUnheard = (): boolean =>
    isBeaconConnected() !== true &&
    pagesConnected() === 0 &&
    standingAlarms(writer.state).some((alarm) => (alarm.priority === 'critical' || alarm.priority === 'high') && alarm.state === 'unacknowledged' && alarm.name !== 'nobody-told' && alarm.name !== 'beacon-dead' && clock.nowMs() - alarm.raisedAtMs > UNHEARD_MS);
  const look = async (): Promise<void> => {
    // Another server watches it, and has ways of its own.
    if (!writer.isOurs) return void (notRecordingSinceMs = null);
    if (!writer.isRecording) {
      notRecordingSinceMs ??= clock.nowMs();
      return;
    }
    if (notRecordingSinceMs !== null) {
      const since = new Date(notRecordingSinceMs).toISOString();
      notRecordingSinceMs = null;
      await tell('recording', true, `nothing was recorded since ${since}`);
      await tell('recording', false, 'recording again');
    }
    const { deadPaths } = writer.state.siteSituation;
    const isBeaconDead = isBeaconConnected() === false;
    if ((deadPaths.beacon !== undefined) !== isBeaconDead) await tell('beacon', isBeaconDead, '');
    const of = untold();
    const isNobodyTold = isUnheard() || of !== null;
    if ((deadPaths.telling !== undefined) !== isNobodyTold) await tell('telling', isNobodyTold, of === null ? '' : `no message was handed over in time: ${of}`);
  };
  const timer = setInterval(() => {
    if (isTelling) return;
    isTelling = true;
    look()
      .catch((error: unknown) => log.error({ err: error }, 'the state of an alarm path could not be recorded'))
      .finally(() => (isTelling = false));
  }, LOOK_MS);
  timer.unref();
  return { stop: () => clearInterval(timer) };
}

import { randomUUID } from 'node:crypto';
import type { AlarmPath } from '../../domain/alarms/situation.ts';
import type { GatewayReport } from '../../domain/wire/gateway-report.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import type { GatewayReports } from '../intake/gateway-reports.ts';
import type { Site } from '../intake/site.ts';

const LOOK_MS = 2_000;
/** From here on there is not much time left. */
const NEARLY_FULL = 0.95;
/** After a drop it is told for so long. */
const DROP_TOLD_MS = 10 * 60_000;
const CERTIFICATE_WARN_MS = 14 * 86_400_000;
/** A gateway's wall clock that moved by more than this is told in the journal, as the server's own is. */
const CLOCK_JUMP_MS = 2_000;

interface Known {
  readonly dropped: number;
  readonly droppedAtMs: number | null;
  readonly setAside: number;
  readonly setAsideAtMs: number | null;
  readonly wallDriftMs: number | null;
}

export interface GatewayWatchOptions {
  readonly gateways: GatewayReports;
  readonly writers: ReadonlyMap<string, Site>;
  readonly clock: Clock;
  readonly log: Log;
}

/** Looks at what gateways tell of themselves, and tells the log what somebody has to see to. */
export function watchGateways({ gateways, writers, clock, log }: GatewayWatchOptions): NodeJS.Timeout {
  const known = new Map<string, Known>();
  const busy = new Set<string>();

  const look = async (writer: Site, report: GatewayReport): Promise<void> => {
    const now = clock.nowMs();
    const before = known.get(report.gateway);
    const hasDropped = before !== undefined && report.outbox.dropped > before.dropped;
    const droppedAtMs = hasDropped ? now : (before?.droppedAtMs ?? null);
    const setAside = report.uplinks.reduce((sum, one) => sum + one.setAside, 0);
    // What is there at the first look is told as well: nobody may have seen it yet.
    const setAsideAtMs = setAside > (before?.setAside ?? 0) ? now : (before?.setAsideAtMs ?? null);
    known.set(report.gateway, { dropped: report.outbox.dropped, droppedAtMs, setAside, setAsideAtMs, wallDriftMs: report.wallDriftMs });
    const { deadPaths } = writer.state.siteSituation;
    const tell = async (path: AlarmPath, isDead: boolean, detail: string): Promise<void> => {
      if ((deadPaths[path] !== undefined) === isDead) return;
      await writer.act({ kind: 'alarm-path', path, isDead, detail, by: 'potside', role: 'system', from: 'server', key: randomUUID() });
    };
    const isShort = report.outbox.filled >= NEARLY_FULL || !report.outbox.writable || (droppedAtMs !== null && now - droppedAtMs < DROP_TOLD_MS);
    await tell('outbox', isShort, isShort ? `${Math.round(report.outbox.filled * 100)} % full, ${report.outbox.dropped} readings dropped in all` : '');
    const isRefused = setAsideAtMs !== null && now - setAsideAtMs < DROP_TOLD_MS;
    await tell('set-aside', isRefused, isRefused ? `${setAside} readings in all; ${report.uplinks.find((one) => one.setAsideWhy !== null)?.setAsideWhy ?? 'the gateway’s log says why'}` : '');
    const first = firstEnd(report);
    await tell('certificate', first !== null && first.untilMs < now + CERTIFICATE_WARN_MS, first === null ? '' : `${first.what} ends ${new Date(first.untilMs).toISOString()}`);
    // The gateway in this process has the server's own clock, which is watched already.
    const jumpMs = before && report.wallDriftMs !== null && before.wallDriftMs !== null && clock.wallDriftMs() !== report.wallDriftMs ? Math.round(report.wallDriftMs - before.wallDriftMs) : 0;
    if (Math.abs(jumpMs) >= CLOCK_JUMP_MS) await writer.noteClockJump(jumpMs);
  };
  const timer = setInterval(() => {
    for (const [site, writer] of writers) {
      const heard = gateways.of(site);
      if (!heard || busy.has(site) || !writer.isOurs || !writer.isRecording) continue;
      busy.add(site);
      look(writer, heard.report)
        .catch((error: unknown) => log.error({ err: error, site }, 'how the gateway is could not be recorded'))
        .finally(() => busy.delete(site));
    }
  }, LOOK_MS);
  timer.unref();
  return timer;
}

/** What of a gateway's uplinks ends first: a server's certificate or its own token. */
function firstEnd({ uplinks }: GatewayReport): { readonly what: string; readonly untilMs: number } | null {
  const ends = uplinks.flatMap(({ name, certificateUntilMs, tokenUntilMs }) => [{ what: `the certificate of ${name}`, untilMs: certificateUntilMs }, { what: `the token for ${name}`, untilMs: tokenUntilMs }]);
  return ends.flatMap(({ what, untilMs }) => (untilMs === null ? [] : [{ what, untilMs }])).toSorted((a, b) => a.untilMs - b.untilMs)[0] ?? null;
}

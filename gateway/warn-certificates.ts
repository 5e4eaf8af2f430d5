import type { Log } from '../host/log.ts';
import type { UplinkStatus } from './uplink/uplink.ts';

const DAY_MS = 86_400_000;
const WARN_DAYS = [30, 14, 3, 0];

/** Warns 30, 14 and 3 days before a server's certificate ends, and when it has; each once. */
export function certificateWarnings(log: Log): (uplinks: readonly UplinkStatus[], nowMs: number) => void {
  const warned = new Map<string, number>();
  return (uplinks, nowMs) => {
    for (const { name, certificateUntilMs } of uplinks) {
      if (certificateUntilMs === null) continue;
      const days = WARN_DAYS.findLast((limit) => certificateUntilMs <= nowMs + limit * DAY_MS);
      const key = `${name} ${certificateUntilMs}`;
      if (days === undefined || (warned.get(key) ?? Number.POSITIVE_INFINITY) <= days) continue;
      warned.set(key, days);
      log.warn({ uplink: name, until: new Date(certificateUntilMs).toISOString() }, days === 0 ? 'the server’s certificate has ended: nothing is handed over' : `the server’s certificate ends within ${days} days`);
    }
  };
}

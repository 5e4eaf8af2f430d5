import type { Log } from '../host/log.ts';
import type { UplinkStatus } from './uplink/uplink.ts';

const DAY_MS = 86_400_000;
const WARN_DAYS = [30, 14, 3, 0];

/** Warns 30, 14 and 3 days before a server's certificate or the token for it ends, and when it has; each once. */
export function endWarnings(log: Log): (uplinks: readonly Pick<UplinkStatus, 'name' | 'certificateUntilMs' | 'tokenUntilMs'>[], nowMs: number) => void {
  const warned = new Map<string, number>();
  const warn = (what: string, uplink: string, untilMs: number | null, nowMs: number): void => {
    if (untilMs === null) return;
    const days = WARN_DAYS.findLast((limit) => untilMs <= nowMs + limit * DAY_MS);
    const key = `${what} ${uplink} ${untilMs}`;
    if (days === undefined || (warned.get(key) ?? Number.POSITIVE_INFINITY) <= days) return;
    warned.set(key, days);
    log.warn({ uplink, until: new Date(untilMs).toISOString() }, days === 0 ? `${what} has ended: nothing is handed over` : `${what} ends within ${days} days`);
  };
  return (uplinks, nowMs) => {
    for (const { name, certificateUntilMs, tokenUntilMs } of uplinks) {
      warn('the server’s certificate', name, certificateUntilMs, nowMs);
      warn('the token for the server', name, tokenUntilMs, nowMs);
    }
  };
}

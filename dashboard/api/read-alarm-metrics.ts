import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import { type Answer, callApi } from './call-api.ts';

export interface AlarmCount {
  readonly name: string;
  readonly title: string;
  readonly count: number;
}

/** How the alarms did over a period. Times are Unix ms, shares from 0 to 1. */
export interface AlarmMetrics {
  /** Alarms announced in each ten minutes, oldest first, without holes. */
  readonly windows: readonly { readonly fromMs: number; readonly count: number }[];
  readonly total: number;
  readonly meanPerWindow: number;
  readonly peak: { readonly fromMs: number; readonly count: number } | null;
  readonly floodShare: number;
  readonly floodFrom: number;
  readonly priorities: Readonly<Record<AlarmPriority, number>>;
  readonly medianToAcknowledgeMs: number | null;
  readonly top: readonly (AlarmCount & { readonly share: number })[];
  readonly chattering: readonly AlarmCount[];
  readonly stale: readonly { readonly id: string; readonly title: string; readonly owner: string; readonly sinceMs: number }[];
}

export interface MetricsQuestion {
  readonly site: string;
  readonly rig: string | null;
  readonly fromMs: number;
  readonly toMs: number;
}

export function readAlarmMetrics({ site, rig, fromMs, toMs }: MetricsQuestion): Promise<Answer<AlarmMetrics>> {
  const query = new URLSearchParams({ site, from: new Date(fromMs).toISOString(), to: new Date(toMs).toISOString(), ...(rig === null ? {} : { rig }) });
  return callApi<AlarmMetrics>(`/api/alarms/metrics?${query.toString()}`);
}

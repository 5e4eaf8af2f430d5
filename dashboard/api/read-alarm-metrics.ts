import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import { type Answer, callApi } from './call-api.ts';

interface Named {
  /** Rule name, as `nozzle-pressure-low`. */
  readonly name: string;
  readonly owner: string;
}

/** How the alarms did over a period: the part of the server's answer that this page shows. Shares are 0 to 1. */
export interface AlarmMetrics {
  /** RFC 3339. */
  readonly from: string;
  readonly to: string;
  readonly annunciated: number;
  readonly perTenMin: number;
  readonly peakTenMin: number;
  readonly floods: number;
  readonly inFlood: number;
  readonly byPriority: Readonly<Record<AlarmPriority, number>>;
  readonly mostFrequent: readonly (Named & { readonly count: number })[];
  readonly topTenShare: number;
  readonly chattering: readonly (Named & { readonly activations: number })[];
  readonly stale: readonly (Named & { readonly id: string; readonly since: string })[];
  readonly medianToAcknowledgeMs: number | null;
}

export interface MetricsQuestion {
  readonly site: string;
  readonly rig: string | null;
  readonly fromMs: number;
  readonly toMs: number;
}

export async function readAlarmMetrics({ site, rig, fromMs, toMs }: MetricsQuestion): Promise<Answer<AlarmMetrics>> {
  const query = new URLSearchParams({ site, from: new Date(fromMs).toISOString(), to: new Date(toMs).toISOString(), ...(rig === null ? {} : { rig }) });
  const answer = await callApi<{ readonly items: readonly AlarmMetrics[] }>(`/api/alarms/metrics?${query.toString()}`);
  if (!answer.ok) return answer;
  const [metrics] = answer.body.items;
  return metrics ? { ok: true, body: metrics } : { ok: false, status: 404, detail: '' };
}

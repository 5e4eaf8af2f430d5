import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import { type Answer, callApi } from './call-api.ts';
import { idempotencyKey } from './idempotency-key.ts';
import { shiftPath } from './shifts.ts';

/** Changed settings of alarms, in the wording of `site.yaml`: quantities with their unit. */
export type AlarmChanges = Readonly<Record<string, Readonly<Partial<Record<'limit' | 'deadband' | 'on-delay' | 'off-delay', string>>>>>;

export interface JudgedAlarm {
  /** Rule name. */
  readonly name: string;
  readonly rig: string | null;
  readonly priority: AlarmPriority;
  readonly raisedAt: string;
  readonly clearedAt: string | null;
  readonly audible: boolean;
}

export interface Judged {
  readonly alarms: readonly JudgedAlarm[];
  readonly counts: Readonly<Record<'total' | 'audible' | AlarmPriority, number>>;
  /** Most in any ten minutes. */
  readonly perTenMinutes: number;
  readonly chattering: number;
}

export interface Rejudged {
  readonly before: Judged;
  readonly after: Judged;
  /** Times real time. */
  readonly speed: number | null;
}

/** Many shifts are many readings. */
const TIMEOUT_MS = 120_000;

export function rejudge(shift: string, alarms: AlarmChanges, shifts: readonly string[]): Promise<Answer<Rejudged>> {
  return callApi<Rejudged>(shiftPath(shift, 'rejudge'), { method: 'POST', body: { alarms, ...(shifts.length === 0 ? {} : { shifts }) }, timeoutMs: TIMEOUT_MS });
}

export interface Proposal {
  readonly id: string;
  readonly site: string;
  readonly alarms: AlarmChanges;
  readonly reason: string;
  readonly shifts: readonly string[];
  /** Null where it was proposed without a trial. */
  readonly before: Pick<Judged, 'counts'> | null;
  readonly after: Pick<Judged, 'counts'> | null;
  readonly at: string;
  readonly by: string;
  /** Who put it into force, and when; why stands in the journal. Null while it is a proposal. */
  readonly inForce: { readonly at: string; readonly by: string } | null;
}

export function readProposals(): Promise<Answer<{ readonly items: readonly Proposal[] }>> {
  return callApi('/api/proposals');
}

export function propose(proposal: Pick<Proposal, 'site' | 'alarms' | 'reason' | 'shifts'> & Pick<Rejudged, 'before' | 'after'>): Promise<Answer<Proposal>> {
  return callApi('/api/proposals', { method: 'POST', body: proposal, key: idempotencyKey() });
}

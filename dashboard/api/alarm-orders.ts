/** What a person may ask of an alarm, and with what words. */
export type AlarmOrderKind = 'acknowledge' | 'confirm-out' | 'reset' | 'shelve' | 'unshelve' | 'out-of-service' | 'in-service';

export interface ShelveBody {
  readonly reason: string;
  readonly text: string;
  readonly minutes: number;
}

export interface OutOfServiceBody {
  /** The chosen reason stands in it: the server keeps none apart. */
  readonly text: string;
  /** RFC 3339. */
  readonly until: string;
  readonly approvedBy: string;
}

export function alarmOrderPath(id: string, order: AlarmOrderKind): string {
  return `/api/alarms/${encodeURIComponent(id)}/${order}`;
}

/** As the server knows them; the words are in `words/`. */
export const ASIDE_REASONS = ['sensor-faulty', 'maintenance', 'known-cause', 'nuisance', 'waiting-for-part', 'other'] as const;

/** A shelf ends with the shift at the latest. */
export const SHELF_MINUTES = [15, 30, 60, 120, 240, 480] as const;

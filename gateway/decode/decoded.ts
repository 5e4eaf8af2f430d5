import type { QualityReason } from '../../domain/points/reading.ts';
import type { RefusalReason } from '../../domain/wire/refusal.ts';

/** One value as a message says it, not yet judged. */
export interface DecodedValue {
  readonly ok: true;
  readonly value: number;
  /** A UCUM code where the payload names a unit. */
  readonly unit: string | null;
  /** Unix seconds; null where the payload has no time or one that counts from the receipt. */
  readonly atSeconds: number | null;
  /** Seconds after the receipt, mostly negative, where the payload counts from there. */
  readonly afterReceipt?: number;
  /** The payload says so itself. */
  readonly isHistory?: boolean;
  /** Why the value may not be what it seems. */
  readonly doubt?: QualityReason;
}

export interface Refused {
  readonly ok: false;
  readonly reason: RefusalReason;
  readonly detail: string;
}

/** A payload decoder's answer for one value. */
export type Decoded = DecodedValue | Refused;

export function refuse(reason: RefusalReason, detail: string): Refused {
  return { ok: false, reason, detail };
}

/** Text as it may stand in an error: short, on one line. */
export function quote(value: unknown): string {
  const text = typeof value === 'string' ? JSON.stringify(value) : String(JSON.stringify(value));
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

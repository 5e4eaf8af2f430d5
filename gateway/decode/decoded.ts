import type { RefusalReason } from '../../domain/wire/refusal.ts';

/** A payload decoder's answer for one value: what the message says, not yet judged. `unit` is a UCUM code where the payload names one. */
export type Decoded =
  | { readonly ok: true; readonly value: number; readonly unit: string | null; readonly atSeconds: number | null }
  | { readonly ok: false; readonly reason: RefusalReason; readonly detail: string };

export function refuse(reason: RefusalReason, detail: string): Decoded {
  return { ok: false, reason, detail };
}

/** Text as it may stand in an error: short, on one line. */
export function quote(value: unknown): string {
  const text = typeof value === 'string' ? JSON.stringify(value) : String(JSON.stringify(value));
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}

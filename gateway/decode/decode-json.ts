import { type Decoded, quote, refuse } from './decoded.ts';
import { atPointer } from './json-pointer.ts';

export interface JsonForm {
  /** JSON Pointers (RFC 6901). */
  readonly value: string;
  readonly time: string | null;
  readonly unit?: string | null;
}

/** Payload form `json`: one value of a parsed document, with its time where a pointer says so. A number in quotes is refused. */
export function decodeJson(document: unknown, form: JsonForm): Decoded {
  const value = atPointer(document, form.value);
  if (value === undefined) return refuse('value-missing', `nothing at ${quote(form.value)} in ${quote(document)}`);
  if (typeof value !== 'number') return refuse('not-a-number', `found ${quote(value)} at ${quote(form.value)}, expected a number without quotes`);
  if (!Number.isFinite(value)) return refuse('not-finite', `the number at ${quote(form.value)} is beyond what a number can hold`);
  const unit = form.unit ? atPointer(document, form.unit) : undefined;
  if (unit !== undefined && typeof unit !== 'string') return refuse('wrong-unit', `found ${quote(unit)} at ${quote(form.unit ?? '')}, expected a UCUM code`);
  const time = form.time === null ? undefined : atPointer(document, form.time);
  if (time !== undefined && (typeof time !== 'number' || !Number.isFinite(time))) return refuse('time-unreadable', `found ${quote(time)} at ${quote(form.time ?? '')}, expected Unix seconds`);
  return { ok: true, value, unit: unit ?? null, atSeconds: time ?? null };
}

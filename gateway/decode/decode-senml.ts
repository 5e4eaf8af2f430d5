import { findUnit } from '../../domain/quantity/unit.ts';
import type { TopicTarget } from '../topic-map.ts';
import { type Decoded, quote, refuse } from './decoded.ts';
import type { SenmlRecord } from './resolve-senml.ts';
import { senmlUnit } from './senml-units.ts';

/**
 * Payload form `senml`: what a resolved pack (RFC 8428) says of one point, in the order of time; nothing where it is of other sensors.
 * One name may carry several quantities (§5.1.3), so records in a unit of another kind are passed over while one fits.
 */
export function decodeSenml(records: readonly SenmlRecord[], { kind, source }: TopicTarget): Decoded[] {
  const dimension = source?.loop ? 'current' : kind.dimension;
  const named = records.filter(({ name }) => name === source?.name);
  const fitting = named.filter(({ unit }) => unit === null || findUnit(senmlUnit(unit) ?? '', dimension) !== undefined);
  const [first] = named;
  if (first && fitting.length === 0) return [refuse('wrong-unit', `found unit ${quote(first.unit)} for ${quote(first.name)}, expected one of SenML’s for ${dimension}`)];
  return fitting.toSorted(byTime).map((record) => decodeRecord(record, kind.state !== undefined));
}

function decodeRecord({ name, unit, value, atSeconds, afterReceipt }: SenmlRecord, isState: boolean): Decoded {
  const number = isState && typeof value === 'boolean' ? Number(value) : value;
  if (number === undefined) return refuse('value-missing', `${quote(name)} has neither v nor vb`);
  if (typeof number !== 'number') return refuse('not-a-number', `found ${quote(number)} for ${quote(name)}, expected a number`);
  return { ok: true, value: number, unit: unit === null ? null : (senmlUnit(unit) ?? null), atSeconds, afterReceipt };
}

/** Times that count from the receipt stand after the absolute ones. */
function byTime(a: SenmlRecord, b: SenmlRecord): number {
  if (a.atSeconds === null || b.atSeconds === null) return Number(a.atSeconds === null) - Number(b.atSeconds === null) || a.afterReceipt - b.afterReceipt;
  return a.atSeconds - b.atSeconds;
}

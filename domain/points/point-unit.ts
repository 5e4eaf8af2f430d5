import { type Unit, fromSi, needUnit, toSi } from '../quantity/unit.ts';
import { POINT_KINDS } from './catalogue.ts';

const UNIT_OF: ReadonlyMap<string, Unit> = new Map(POINT_KINDS.map((kind) => [kind.id, needUnit(kind.unit, kind.dimension)]));

function unitOf(id: string): Unit {
  const unit = UNIT_OF.get(id);
  if (!unit) throw new RangeError(`no point ${JSON.stringify(id)} in the catalogue`);
  return unit;
}

/** A value of a point in its default unit → SI. Gauge stays gauge. */
export function pointToSi(id: string, value: number): number {
  return toSi(value, unitOf(id));
}

/** SI → the point's default unit; not yet on its grid. */
export function pointFromSi(id: string, si: number): number {
  return fromSi(si, unitOf(id));
}

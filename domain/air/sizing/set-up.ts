import { parseQuantity } from '../../quantity/parse-quantity.ts';
import type { Dimension } from '../../quantity/unit.ts';

/**
 * One set-up of the air line, from the compressor to the nozzles, in SI: m, Pa gauge, K, m³/s of standard air, fraction. Every rig on
 * the compressor has its own supply hose, separator and blast hose of these sizes.
 */
export interface SetUp {
  /** Of the compressor's plate: free air it takes in, m³/s. */
  readonly ratedFlow: number;
  readonly pressure: number;
  readonly supplyBore: number;
  readonly supplyLength: number;
  /** Pa, at `SEPARATOR_AT`. */
  readonly separatorLoss: number;
  readonly blastBore: number;
  readonly blastLength: number;
  readonly nozzleBore: number;
  readonly rigs: number;
  /** Nozzle of every further rig. */
  readonly otherBore: number;
  /** For each blaster. */
  readonly breathingAir: number;
  readonly elevation: number;
  /** Of the air taken in, and what the aftercooler or the hose cools it to. */
  readonly temperature: number;
  readonly humidity: number;
  readonly cooledTo: number;
}

export type SizingField = keyof SetUp;

/** How a field is written and how far it goes, as people say it. */
export interface FieldSpec {
  readonly id: SizingField;
  readonly dimension: Dimension;
  readonly usual: string;
  readonly low: string;
  readonly high: string;
}

/** Along the air, as it is drawn. The usual set-up is a middling one of the trade (common practice, no source). */
export const SIZING_FIELDS: readonly FieldSpec[] = [
  { id: 'ratedFlow', dimension: 'volume-flow', usual: '750cfm', low: '100cfm', high: '1600cfm' },
  { id: 'pressure', dimension: 'pressure', usual: '120psi', low: '60psi', high: '150psi' },
  { id: 'elevation', dimension: 'length', usual: '0ft', low: '0ft', high: '10000ft' },
  { id: 'temperature', dimension: 'temperature', usual: '80degF', low: '-10degF', high: '115degF' },
  { id: 'humidity', dimension: 'fraction', usual: '75%', low: '10%', high: '100%' },
  { id: 'cooledTo', dimension: 'temperature', usual: '95degF', low: '32degF', high: '150degF' },
  { id: 'supplyBore', dimension: 'length', usual: '2in', low: '1in', high: '4in' },
  { id: 'supplyLength', dimension: 'length', usual: '50ft', low: '0ft', high: '400ft' },
  { id: 'separatorLoss', dimension: 'pressure', usual: '2psi', low: '0psi', high: '10psi' },
  { id: 'breathingAir', dimension: 'volume-flow', usual: '20cfm', low: '0cfm', high: '60cfm' },
  { id: 'rigs', dimension: 'count', usual: '1', low: '1', high: '6' },
  { id: 'blastBore', dimension: 'length', usual: '1-1/4in', low: '1/2in', high: '2in' },
  { id: 'blastLength', dimension: 'length', usual: '100ft', low: '25ft', high: '400ft' },
  { id: 'nozzleBore', dimension: 'length', usual: '3/8in', low: '3/16in', high: '3/4in' },
  { id: 'otherBore', dimension: 'length', usual: '3/8in', low: '3/16in', high: '3/4in' },
];

const readBounds = (spec: FieldSpec): { readonly low: number; readonly high: number; readonly usual: number } => ({
  low: parseQuantity(spec.low, spec.dimension).si,
  high: parseQuantity(spec.high, spec.dimension).si,
  usual: parseQuantity(spec.usual, spec.dimension).si,
});

/** Bounds and usual value of each field in SI. */
export const SIZING_BOUNDS = Object.fromEntries(SIZING_FIELDS.map((spec) => [spec.id, readBounds(spec)])) as Readonly<Record<SizingField, ReturnType<typeof readBounds>>>;

export const USUAL_SET_UP = Object.fromEntries(SIZING_FIELDS.map(({ id }) => [id, SIZING_BOUNDS[id].usual])) as unknown as SetUp;

/** Rounding of units must not make a value that stands at a bound impossible. */
const SLACK = 1e-9;

/** A set-up out of kept or foreign data: what is missing or out of bounds is as usual. */
export function readSetUp(data: unknown): SetUp {
  const given = (typeof data === 'object' && data !== null ? data : {}) as Record<string, unknown>;
  const read = (id: SizingField): number => {
    const value = given[id];
    return typeof value === 'number' && isWithin(id, value) ? value : SIZING_BOUNDS[id].usual;
  };
  return Object.fromEntries(SIZING_FIELDS.map(({ id }) => [id, read(id)])) as unknown as SetUp;
}

/** Whether a value in SI is one that the field can have. */
export function isWithin(id: SizingField, si: number): boolean {
  const { low, high } = SIZING_BOUNDS[id];
  const slack = SLACK * Math.max(Math.abs(low), Math.abs(high));
  return Number.isFinite(si) && si >= low - slack && si <= high + slack && (id !== 'rigs' || Number.isInteger(si));
}

import type { AbsolutePressure } from '../../domain/quantity/pressure.ts';
import type { Dimension } from '../../domain/quantity/unit.ts';

/**
 * What an input is. `gauge`: a pressure, gauge unless it says absolute. `flow`: air by mass or by standard volume, given on
 * as kg/s. `activity` and `samples` are read by the calculation itself.
 */
export type InputKind = Exclude<Dimension, 'pressure' | 'mass-flow' | 'volume-flow'> | 'gauge' | 'flow' | 'text';

/** One flag of a calculation. */
export interface Input {
  readonly flag: string;
  readonly kind: InputKind;
  /** How its value is shown in the help, e.g. `<temperature>`. */
  readonly value: string;
  readonly about: string;
  /** Taken, and said to be assumed, where the flag is absent. */
  readonly assumed?: string;
  readonly optional?: true;
  /** Must be above zero, or must not be below it. */
  readonly sign?: 'positive' | 'not-negative';
  /** kg/m³ of the standard volume a flow is given in, where it isn't the nozzle charts'. */
  readonly standardDensity?: number;
}

/** The inputs as read, in SI; gauge pressures in Pa gauge. */
export interface Given {
  /** @throws when the flag is absent and nothing is assumed: a mistake in the calculation. */
  readonly number: (flag: string) => number;
  readonly maybe: (flag: string) => number | undefined;
  readonly text: (flag: string) => string;
  readonly atmosphere: AbsolutePressure;
}

/** What a calculation found, in SI. */
export interface Found {
  readonly si: number;
  readonly method: string;
  readonly source: string;
  /** Further fields of the answer, in units said by their names or beside them. */
  readonly more?: Readonly<Record<string, unknown>>;
}

/** One unit kind an answer can be given in. `factor` and the density turn an answer in SI into that kind. */
export interface AnswerKind {
  readonly dimension: Dimension;
  /** What the SI answer is multiplied by to be in this dimension's SI unit; 1 unless given. */
  readonly factor?: number;
}

export interface Calculation {
  readonly name: string;
  readonly about: string;
  readonly example: string;
  readonly inputs: readonly Input[];
  /** UCUM code of the answer's unit where none is asked for. */
  readonly unit: string;
  readonly answers: readonly AnswerKind[];
  /** A pressure in the answer is gauge: `--in psia` then adds the atmosphere. */
  readonly gaugeAnswer?: true;
  /** True where the local atmosphere matters. */
  readonly atmosphere: boolean;
  readonly compute: (given: Given) => Found;
}

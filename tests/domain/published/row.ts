/** One published value beside ours, in one unit. The tests judge it and docs/computations.md shows it. */
export interface Row {
  readonly quantity: string;
  readonly ours: () => number;
  readonly published: number;
  readonly unit: string;
  /** Largest difference that passes: absolute in the unit, or relative. */
  readonly within: { readonly absolute: number } | { readonly relative: number };
  readonly source: string;
}

/** A published upper bound or band that ours must keep. */
export interface Band {
  readonly quantity: string;
  readonly ours: () => number;
  readonly low: number;
  readonly high: number;
  readonly unit: string;
  readonly source: string;
}

/** A published value that ours does not meet, and why; `ours` must stay where it is said to be. */
export interface Miss extends Row {
  readonly why: string;
}

/** As `within`, for the largest difference still accepted of a miss. */
export function difference(row: Row): { readonly ours: number; readonly absolute: number; readonly relative: number } {
  const ours = row.ours();
  return { ours, absolute: ours - row.published, relative: ours / row.published - 1 };
}

export function passes(row: Row): boolean {
  const { absolute, relative } = difference(row);
  return 'absolute' in row.within ? Math.abs(absolute) <= row.within.absolute : Math.abs(relative) <= row.within.relative;
}

export const celsius = (kelvin: number): number => kelvin - 273.15;
export const fromCelsius = (degrees: number): number => degrees + 273.15;
export const fromFahrenheit = (degrees: number): number => ((degrees - 32) * 5) / 9 + 273.15;
export const PSI = 6894.757293168361;
export const INCH = 0.0254;
export const FOOT = 0.3048;
export const CFM = FOOT ** 3 / 60;
export const POUND = 0.45359237;

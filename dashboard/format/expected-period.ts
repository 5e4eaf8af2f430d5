import { findPointKind } from '../../domain/points/catalogue.ts';

/** Computed points come as often as their slowest input, not as often as they could be computed. */
const SLOWEST_INPUT: Readonly<Record<string, string>> = {
  'ambient-dew-point': 'ambient-temperature',
  'steel-margin': 'steel-temperature',
  'line-atmospheric-dew-point': 'air-line-dew-point',
};

/** Transport, commit and the coalescing of pushes: below this a reading is as young as it can be. */
const ON_THE_WAY_MS = 1_500;

/** The age up to which a value needs no age beside it, ms. */
export function expectedPeriodMs(point: string): number {
  return (findPointKind(SLOWEST_INPUT[point] ?? point)?.everyMs ?? 1000) + ON_THE_WAY_MS;
}

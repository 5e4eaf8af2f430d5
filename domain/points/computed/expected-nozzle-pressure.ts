import { blastLine, solveLine } from '../../air/line.ts';
import { atmosphereAt, type GaugePressure } from '../../quantity/pressure.ts';
import type { OwnerSetup } from './computed-point.ts';

/** More pressures than a gauge of 0.1 psi shows over a whole line. */
const REMEMBERED = 2_000;

/**
 * Solving the line is the dearest computation there is, readings lie on a grid, and a setup never changes: the same question has
 * the same answer. Held by the setup itself, so that it goes with it.
 */
const ANSWERS = new WeakMap<OwnerSetup, Map<number, number>>();

/**
 * What the nozzle should read with this pressure at the blast machine: gauge Pa, from the blast hose and nozzle as built and the
 * usual abrasive in the stream. Undefined where hose or nozzle are not set up.
 */
export function expectedNozzlePressure(setup: OwnerSetup, supply: GaugePressure): number | undefined {
  const { hose, nozzle, elevation } = setup;
  if (!hose || !nozzle) return undefined;
  let answers = ANSWERS.get(setup);
  if (!answers) ANSWERS.set(setup, (answers = new Map<number, number>()));
  const known = answers.get(supply);
  if (known !== undefined) return known;
  const solved = solveLine(blastLine({ supply, atmosphere: atmosphereAt(elevation), hose, nozzle })).outlets[0]?.nozzlePressure;
  if (solved === undefined) return undefined;
  if (answers.size >= REMEMBERED) answers.clear();
  answers.set(supply, solved);
  return solved;
}

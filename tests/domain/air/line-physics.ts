/**
 * Another rig than the one the estimators believe in: Harris's friction law in place of Colebrook's, own coefficients. So a
 * test of an inverse does not simply undo our own forward model.
 */
export interface OtherRig {
  readonly bore: number;
  readonly hoseBore: number;
  readonly hoseLength: number;
  /** On the friction, abrasive included. */
  readonly friction: number;
  readonly coefficient: number;
}

const ATMOSPHERE = 101325;
const INCH = 0.0254;
const FOOT = 0.3048;
const PSI = 6894.757293168361;
const STANDARD_CFM = (0.075 * 0.45359237) / 60;

/** kg/s through a choked nozzle at 20 °C. */
function flowAt(rig: OtherRig, nozzle: number): number {
  return (rig.coefficient * 0.04041 * (Math.PI / 4) * rig.bore ** 2 * (nozzle + ATMOSPHERE)) / Math.sqrt(293.15);
}

/** Nozzle pressure, Pa gauge, at a machine pressure: Harris between the ends, halved until it agrees. */
export function otherNozzlePressure(rig: OtherRig, machine: number): number {
  let [low, high] = [0, machine];
  for (let i = 0; i < 60; i++) {
    const nozzle = (low + high) / 2;
    const cfm = flowAt(rig, nozzle) / STANDARD_CFM;
    const squares = (rig.friction * (rig.hoseLength / FOOT) * (cfm / 34.5) ** 2) / (rig.hoseBore / INCH) ** 5.31;
    const left = ((machine + ATMOSPHERE) / PSI) ** 2 - squares;
    if (left > ((nozzle + ATMOSPHERE) / PSI) ** 2) low = nozzle;
    else high = nozzle;
  }
  return low;
}

/** Even and normal numbers from a seed (mulberry32, Box–Muller), so that a failure comes back. */
export function chance(seed: number): { even: (low: number, high: number) => number; normal: (spread: number) => number } {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return {
    even: (low, high) => low + (high - low) * next(),
    normal: (spread) => spread * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
}

/**
 * Refuses an input that can't be, by name, before it turns into a number that looks like an answer.
 * @throws RangeError unless `low ≤ value ≤ high`; a value that isn't a number is refused too.
 */
export function needWithin(name: string, value: number, low: number, high: number, say: (si: number) => string = String): void {
  if (value >= low && value <= high) return;
  throw new RangeError(`${name} must lie between ${say(low)} and ${say(high)}, found ${say(value)}`);
}

/** @throws RangeError unless `value` is finite and above zero. */
export function needPositive(name: string, value: number, unit = ''): void {
  if (value > 0 && Number.isFinite(value)) return;
  throw new RangeError(`${name} must be above 0, found ${`${value} ${unit}`.trimEnd()}`);
}

/** @throws RangeError unless `value` is finite and not below zero. */
export function needNotNegative(name: string, value: number, unit = ''): void {
  if (value >= 0 && Number.isFinite(value)) return;
  throw new RangeError(`${name} must not be below 0, found ${`${value} ${unit}`.trimEnd()}`);
}

/** K as people read it. */
export function sayCelsius(kelvin: number): string {
  return `${Number((kelvin - 273.15).toFixed(2))} °C`;
}

/** A fraction as people read it. */
export function sayPercent(fraction: number): string {
  return `${Number((fraction * 100).toFixed(4))} %`;
}

/** Pa as people read it. */
export function sayPressure(pascal: number): string {
  return `${Number((pascal / 6894.757293168361).toPrecision(4))} psi`;
}

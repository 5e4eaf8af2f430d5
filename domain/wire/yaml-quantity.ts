import { z } from 'zod';
import { type Dimension, convert, needUnit } from '../quantity/unit.ts';
import { parseQuantity } from '../quantity/parse-quantity.ts';

/** A quantity, converted to `unit` (UCUM), within bounds given in that unit. */
export function quantity(dimension: Dimension, unit: string, low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY) {
  const to = needUnit(unit, dimension);
  return z.union([z.string(), z.number()]).transform((written, context) => {
    try {
      const read = parseQuantity(String(written), dimension);
      if (read.absolute) throw new RangeError(`${JSON.stringify(written)} is absolute: expected a gauge pressure`);
      const value = convert(read.value, read.unit, to);
      if (value < low || value > high) throw new RangeError(`${JSON.stringify(written)} is out of bounds: expected ${low} to ${high} ${to.symbol}`);
      return value;
    } catch (error) {
      context.addIssue({ code: 'custom', message: (error as Error).message });
      return z.NEVER;
    }
  }).describe(`${dimension.replaceAll('-', ' ')} with its unit; read in ${to.symbol}${bounds(low, high)}`);
}

function bounds(low: number, high: number): string {
  return Number.isFinite(low) && Number.isFinite(high) ? `, ${low} to ${high}` : '';
}

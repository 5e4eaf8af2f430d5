import { findPointKind } from '../../../domain/points/catalogue.ts';
import { parseQuantity } from '../../../domain/quantity/parse-quantity.ts';
import { convert, needUnit } from '../../../domain/quantity/unit.ts';

/** A value typed with its unit, in the point's own; null where nothing was typed, undefined where it can't be read. */
export function readValue(point: string, text: string): { readonly value: number; readonly unit: string } | null | undefined {
  if (text.trim() === '') return null;
  const kind = findPointKind(point);
  if (!kind) return undefined;
  try {
    const { value, unit } = parseQuantity(text, kind.dimension);
    return { value: convert(value, unit, needUnit(kind.unit, kind.dimension)), unit: kind.unit };
  } catch {
    return undefined;
  }
}

import type { ShiftCard } from '../../api/shift-shapes.ts';

/** Outlines that differ without colour, about their middle, 12 px wide. */
export const RIG_SHAPES = ['M0 -6A6 6 0 1 1 0 6A6 6 0 1 1 0 -6Z', 'M-5.5 -5.5H5.5V5.5H-5.5Z', 'M0 -7L6.5 5H-6.5Z', 'M0 -7.5L7.5 0L0 7.5L-7.5 0Z', 'M-6.5 -5H6.5L0 7Z', 'M-2 -6H2V-2H6V2H2V6H-2V2H-6V-2H-2Z'] as const;

/** Rigs in a fixed order, so that a rig keeps its shape in every plot. */
export function rigOrder(cards: readonly ShiftCard[]): readonly string[] {
  return [...new Set(cards.map((card) => card.rig))].sort();
}

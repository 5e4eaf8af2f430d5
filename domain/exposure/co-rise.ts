import { type MedianSlots, nextMedianSlots, openMedianSlots } from '../trend/median-slots.ts';

const SLOTS = 12;

/** Follows how fast carbon monoxide rises, in constant memory: twelve slots over `overMs`; two minutes is the usual. */
export function openCoRise(overMs = 120_000): MedianSlots {
  return openMedianSlots(overMs / SLOTS, SLOTS);
}

/** Takes the next usable reading (fraction), in order of time. */
export const nextCoRise = nextMedianSlots;

/**
 * Rise, fraction per second, from the oldest to the newest slot; undefined until they are half the window apart. Slots are
 * medians: one wild reading does not move it.
 */
export function readCoRise({ done, slotMs }: MedianSlots): number | undefined {
  const [first, last] = [done[0], done.at(-1)];
  if (!first || !last || last.number - first.number < SLOTS / 2) return undefined;
  return (last.middle - first.middle) / (((last.number - first.number) * slotMs) / 1000);
}

import { nextCoRise, openCoRise, readCoRise } from '../../exposure/co-rise.ts';
import { nextCoWindow, openCoWindow, readCoWindow, type CoWindow } from '../../exposure/co-window.ts';
import type { MedianSlots } from '../../trend/median-slots.ts';
import type { Computed, ComputedPoint, Sight } from './computed-point.ts';

const FIFTEEN_MINUTES_MS = 900_000;
/** A reading of the panel holds this long; what follows is a gap. */
const HOLD_MS = 10_000;
const RISE_OVER_S = 120;

/** The panel's air over a quarter of an hour. A person's own averages go with the person, from log-in to log-out, over rigs. */
function average(see: Sight): Computed {
  const before = (see.memory as CoWindow | undefined) ?? openCoWindow(FIFTEEN_MINUTES_MS);
  // A cell drifts below zero; nobody breathes less than none.
  const memory = nextCoWindow(before, see.atMs, Math.max(0, see.value('breathing-air-co')), HOLD_MS);
  const read = readCoWindow(memory);
  return read ? { si: read.average, memory } : { reason: 'not-computable', memory };
}

/** How much it rose in two minutes. */
function rise(see: Sight): Computed {
  const memory = nextCoRise((see.memory as MedianSlots | undefined) ?? openCoRise(), see.atMs, see.value('breathing-air-co'));
  const perSecond = readCoRise(memory);
  return perSecond === undefined ? { reason: 'not-computable', memory } : { si: perSecond * RISE_OVER_S, memory };
}

export const EXPOSURE_POINTS: readonly ComputedPoint[] = [
  { id: 'co-average-15min', ways: [{ needs: ['breathing-air-co'], compute: average }] },
  { id: 'co-rise', ways: [{ needs: ['breathing-air-co'], compute: rise }] },
];

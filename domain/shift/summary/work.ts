import type { Figure } from '../headline.ts';
import { type Series, type Stretch, lengthOf, whenever } from './series.ts';

export interface Work {
  readonly blasting: Figure;
  /** How often the handle was pressed, or the nozzle came under flow where the handle has no signal. */
  readonly cycles: Figure;
  readonly cyclesFrom: 'handle' | 'nozzle pressure';
  readonly longestBurst: Figure;
}

/** Hours under flow and cycles of the trigger; null where neither a handle nor a nozzle pressure is measured. */
export function workOf(blasting: Series | undefined, handle: Series | undefined, shift: Stretch): Work | null {
  const source = blasting ?? handle;
  if (!source) return null;
  const bursts = whenever(source, shift, (value) => value === 1);
  const cycles = handle ? whenever(handle, shift, (value) => value === 1) : bursts;
  const longestMs = Math.max(0, ...bursts.map(({ fromMs, toMs }) => toMs - fromMs));
  return {
    blasting: { value: lengthOf(bursts) / 3_600_000, unit: 'h' },
    cycles: { value: cycles.length, unit: '{count}' },
    cyclesFrom: handle ? 'handle' : 'nozzle pressure',
    longestBurst: { value: longestMs / 60_000, unit: 'min' },
  };
}

import { nextTriggerCycle, type TriggerCycle } from '../../air/trigger-cycle.ts';
import { gauge } from '../../quantity/pressure.ts';
import type { Computed, ComputedPoint, Sight, Way } from './computed-point.ts';

/** What is remembered of the handle: where its cycle is, how many there were, and the last times, s. */
interface Remembered {
  readonly cycle: TriggerCycle;
  readonly count: number;
  readonly stop: number | null;
  readonly blowDown: number | null;
}

const AT_FIRST: Remembered = { cycle: { state: 'released' }, count: 0, stop: null, blowDown: null };

/** Counts the handle's cycles and times what follows a release. Only with a signal of the handle: without one nothing may be claimed. */
function countCycles(see: Sight): Computed {
  const before = (see.memory as Remembered | undefined) ?? AT_FIRST;
  const pressure = (id: string) => ((value) => (value === null ? null : gauge(value)))(see.optional(id));
  const { cycle, events } = nextTriggerCycle(before.cycle, { atMs: see.atMs, held: see.value('remote-control') === 1, nozzle: pressure('nozzle-pressure'), pot: pressure('pot-pressure') });
  if (cycle === before.cycle) return { si: before.count };
  const seconds = (kind: string): number | undefined => ((event) => event && event.afterMs / 1000)(events.find((one) => one.kind === kind));
  const isReleased = before.cycle.state === 'held' && cycle.state === 'stopping';
  const memory: Remembered = { cycle, count: before.count + (isReleased ? 1 : 0), stop: seconds('nozzle-stopped') ?? before.stop, blowDown: seconds('pot-blown-down') ?? before.blowDown };
  return { si: memory.count, memory };
}

/** A figure of the cycle machine; there is none before the first time. */
function ofCycles(read: (held: Remembered, atMs: number) => number | null): Way {
  return {
    needs: ['trigger-cycles'],
    compute: (see) => {
      const held = see.memoryOf('trigger-cycles') as Remembered | undefined;
      const si = held ? read(held, see.atMs) : null;
      return si === null ? { reason: 'not-computable' } : { si };
    },
  };
}

export const TRIGGER_POINTS: readonly ComputedPoint[] = [
  { id: 'trigger-cycles', ways: [{ needs: ['remote-control'], compute: countCycles }] },
  { id: 'handle-held', ways: [ofCycles(({ cycle }, atMs) => (cycle.state === 'held' ? (atMs - cycle.sinceMs) / 1000 : 0))] },
  { id: 'nozzle-stop', ways: [ofCycles(({ stop }) => stop)] },
  { id: 'pot-blow-down', ways: [ofCycles(({ blowDown }) => blowDown)] },
];

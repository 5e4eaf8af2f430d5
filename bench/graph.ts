import { findPointKind } from '../domain/points/catalogue.ts';
import { computeOwner } from '../domain/site/compute-owner.ts';
import { type PointState, takeReading, unseenPoint } from '../domain/site/point-state.ts';
import { layOut } from '../domain/site/topology.ts';
import { bareLoop, readingsPerSecond } from './bare-loop.ts';
import { measure, type Result } from './measure.ts';
import { shiftBatches } from './shift-batches.ts';

const SECONDS = 1800;

/**
 * Readings a second through the graph of computed points alone: every rig, compressor and the site computed once a second from
 * what came in. Floor: a loop that keeps the latest value and compares one limit.
 */
export function benchGraph(): Promise<Result> {
  const { config, batches, startAtMs } = shiftBatches(4, SECONDS);
  const { owners } = layOut(config);
  const floor = (): number => readingsPerSecond(batches, () => void bareLoop(batches));
  const product = (): number =>
    readingsPerSecond(batches, () => {
      const points = new Map<string, Map<string, PointState>>([...owners.keys()].map((owner) => [owner, new Map()]));
      const see = (owner: string, id: string, seen: readonly string[]): PointState | undefined => points.get(owner)?.get(id) ?? seen.map((other) => points.get(other)?.get(id)).find((found) => found !== undefined);
      batches.forEach((batch, second) => {
        const atMs = startAtMs + (second + 1) * 1000;
        for (const reading of batch) {
          const held = points.get(reading.owner);
          if (!held || !findPointKind(reading.point)) continue;
          let point = held.get(reading.point);
          if (!point) held.set(reading.point, (point = unseenPoint(reading.owner, reading.point, null, atMs)));
          takeReading(point, reading, atMs);
        }
        for (const owner of owners.values()) {
          for (const result of computeOwner(owner, (id) => see(owner.id, id, owner.sees), atMs, (_id, error) => { throw error; })) {
            const held = points.get(owner.id);
            let point = held?.get(result.id);
            if (!point) held?.set(result.id, (point = unseenPoint(owner.id, result.id, null, atMs)));
            if (point) Object.assign(point, { value: result.value, quality: result.quality, reason: result.reason, observedAtMs: result.observedAtMs, memory: result.memory });
          }
        }
      });
    });
  return measure('computed points: readings a second on one core', '1/s', floor, product);
}

import { createSimulation } from '../simulator/simulation.ts';
import { type Result, measure } from './measure.ts';

const HOUR_S = 3600;
const RIGS = 4;
const START_MS = Date.UTC(2026, 5, 1, 12);

/** An hour of four rigs: seconds of a rig simulated and written as messages in a second of this machine, beside a loop that only writes as many. */
export function benchSimulation(): Promise<Result> {
  const messages = createSimulation({ scenario: 'quiet', seed: 1, rigs: RIGS, startAtMs: START_MS }).advanceTo(START_MS + HOUR_S * 1000).map(({ payload }) => (payload.startsWith('{') ? (JSON.parse(payload) as object) : Number(payload)));
  const rate = (work: () => void): number => {
    const began = performance.now();
    work();
    return (RIGS * HOUR_S) / ((performance.now() - began) / 1000);
  };
  const floor = (): number => rate(() => messages.forEach((body) => JSON.stringify(body)));
  const product = (): number => rate(() => void createSimulation({ scenario: 'quiet', seed: 2, rigs: RIGS, startAtMs: START_MS }).advanceTo(START_MS + HOUR_S * 1000));
  return measure('simulator: seconds of a rig generated a second on one core', '1/s', floor, product);
}

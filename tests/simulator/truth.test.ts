import { describe, expect, it } from 'vitest';
import { createSimulation } from '../../simulator/simulation.ts';
import { recordTruth } from '../../simulator/truth/record-truth.ts';

const START = Date.UTC(2026, 8, 14, 12);
const HEAD = { scenario: 'demo', seed: 7, rigs: 2, startAtMs: START, liveFromMs: START + 60_000 };

function written(steps: readonly number[]): { lines: string[]; messages: string[] } {
  const lines: string[] = [];
  const simulation = recordTruth(createSimulation(HEAD), HEAD, (line) => lines.push(line));
  const messages = steps.flatMap((s) => simulation.advanceTo(START + s * 1000)).map(({ atMs, payload }) => `${atMs} ${payload}`);
  return { lines, messages };
}

describe('the truth of a run', () => {
  it('is the same bytes for the same seed, in whatever steps, and moves nothing of what is published', () => {
    const once = written([240]);
    const stepwise = written([0.3, 17, 17.9, 100.25, 240]);
    expect(stepwise.lines.join('')).toBe(once.lines.join(''));
    expect(stepwise.messages).toEqual(once.messages);
    expect(once.messages).toEqual(createSimulation(HEAD).advanceTo(START + 240_000).map(({ atMs, payload }) => `${atMs} ${payload}`));
  });

  it('has the run, each fault with its onset, and the plant at each second', () => {
    const [run, ...rest] = written([120]).lines.map((line) => JSON.parse(line));
    expect(run).toEqual({ kind: 'run', site: 'tamber-2', scenario: 'demo', seed: 7, rigs: 2, startAt: '2026-09-14T12:00:00.000Z', liveFrom: '2026-09-14T12:01:00.000Z' });
    const faults = rest.filter(({ kind }) => kind === 'fault');
    expect(faults).toContainEqual({ kind: 'fault', cause: 'kinked blast hose', on: 'rig-a', from: '2026-09-14T12:01:40.000Z', to: '2026-09-14T12:04:15.000Z' });
    const states = rest.filter(({ kind }) => kind === 'state');
    expect(states.map(({ at }) => at)).toEqual(Array.from({ length: 120 }, (_, i) => new Date(START + (i + 1) * 1000).toISOString()));
    const last = states.at(-1);
    expect(last.rigs['rig-a'].inletPa).toBeGreaterThan(6e5);
    expect(last.rigs['rig-b'].boreMm).toBeCloseTo(9.525, 2);
    expect(last.compressors['comp-1'].flowKgPerS).toBeGreaterThan(0);
    expect(last.site.windFromDeg).toBeGreaterThanOrEqual(0);
  });
});

import { parse } from 'yaml';
import { expect, it } from 'vitest';
import type { Action } from '../../domain/site/log.ts';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { AlarmTransition } from '../../domain/site/site-effects.ts';
import { parseSiteConfig } from '../../domain/wire/site-yaml.ts';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { createSimulation } from '../../simulator/simulation.ts';

const START = Date.UTC(2026, 8, 14, 12);
const HOUR_MS = 3_600_000;
const RIGS = ['rig-a', 'rig-b'];

type Plan = readonly { readonly atMs: number; readonly action: Action }[];

/** What a crew does on an ordinary day: log in and out, test, read by hand when it is due. */
function crew(): Plan {
  let keys = 0;
  const on = (rig: string, hours: number, action: object): Plan[number] => ({ atMs: START + hours * HOUR_MS, action: { by: 'tom', role: 'tender', from: 'test', key: `crew-${++keys}`, rig, ...action } as Action });
  const entry = (rig: string, hours: number, kind: string, value: number | null = null) => on(rig, hours, { kind: 'entry', entry: kind, value, place: '', text: '' });
  return RIGS.flatMap((rig, index) => [
    on(rig, 0, { kind: 'start-shift' }),
    entry(rig, 0.001, 'bump-done'),
    entry(rig, 0.001, 'blotter'),
    on(rig, 0.03, { kind: 'hood-in', name: ['Ray', 'Sam'][index] }),
    // Before the first needle reading nothing is said of the line; afterwards every loss is told against it.
    ...[0.2, 0.25, 0.3, 4.2].map((hours) => entry(rig, hours, 'needle', 97)),
    ...[3.9, 7.8].map((hours) => entry(rig, hours, 'spot', 18)),
    entry(rig, 4.9, 'blotter'),
  ]).toSorted((a, b) => a.atMs - b.atMs);
}

function raised(seed: number, hours: number): AlarmTransition[] {
  const simulation = createSimulation({ scenario: 'quiet', seed, rigs: 2, startAtMs: START });
  const read = parseSiteConfig(parse(simulation.siteYaml));
  if (!('config' in read)) throw new Error(JSON.stringify(read.problems));
  const topics = new TopicMap(read.config);
  const evaluator = new SiteEvaluator(simulation.siteId);
  evaluator.apply({ kind: 'config', seq: 1, atMs: START, version: '1', config: read.config });
  const calls: AlarmTransition[] = [];
  const apply = (entry: object): void => {
    const { transitions, refusal } = evaluator.apply({ seq: evaluator.seq + 1, ...entry } as never);
    expect(refusal).toBeNull();
    calls.push(...transitions.filter(({ from, occurrence }) => occurrence.state === 'unacknowledged' && from !== 'unacknowledged'));
  };
  const plan = [...crew()];
  for (const { topic, payload, atMs } of simulation.advanceTo(START + hours * HOUR_MS)) {
    while (plan[0] && plan[0].atMs <= atMs) apply({ kind: 'action', ...plan.shift() });
    const { readings } = takeIn(topics, { topic, payload: Buffer.from(payload), retained: false }, atMs);
    apply({ kind: 'batch', origin: '', atMs, readings: readings.map(({ backlog, ...reading }) => ({ ...reading, late: backlog, sequence: 0 })) });
  }
  return calls;
}

// One seed has the whole shift, the others its first hours: a shift takes seconds.
it.each([[1, 8], [2, 2.5], [3, 2.5], [4, 2.5], [5, 2.5]])('uneventful shift, seed %i, %d h: at most one audible alarm a rig-shift', (seed, hours) => {
  const audible = raised(seed, hours).filter(({ rule }) => rule.priority !== 'low');
  const heard = audible.map(({ owner, rule, atMs }) => `${owner} ${rule.name} at ${Math.round((atMs - START) / 1000)} s`);
  for (const rig of RIGS) expect(heard.filter((line) => line.startsWith(rig)).length, heard.join(', ')).toBeLessThanOrEqual(1);
  // What belongs to a compressor or the site counts too.
  expect(heard.length, heard.join(', ')).toBeLessThanOrEqual(RIGS.length);
});

import { parse } from 'yaml';
import { describe, expect, it } from 'vitest';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import { parseSiteConfig } from '../../domain/wire/site-yaml.ts';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { createSimulation } from '../../simulator/simulation.ts';

const START = 1_764_000_000_000;

/** Alarms that Potside raises on a simulated site, as `rig/alarm` with the second from going live. */
function raised(scenario: string, seed: number, span: { beforeS: number; afterS: number }): { alarm: string; s: number }[] {
  const liveFromMs = START + span.beforeS * 1000;
  const simulation = createSimulation({ scenario, seed, rigs: 2, startAtMs: START, liveFromMs });
  const read = parseSiteConfig(parse(simulation.siteYaml));
  if (!('config' in read)) throw new Error(JSON.stringify(read.problems));
  const topics = new TopicMap(read.config);
  const evaluator = new SiteEvaluator(simulation.siteId);
  evaluator.apply({ kind: 'config', seq: 1, atMs: START, version: '1', config: read.config });
  const alarms: { alarm: string; s: number }[] = [];
  for (const { topic, payload, atMs } of simulation.advanceTo(liveFromMs + span.afterS * 1000)) {
    const { readings, refusals } = takeIn(topics, { topic, payload: Buffer.from(payload), retained: false }, atMs);
    expect(refusals).toEqual([]);
    const { transitions } = evaluator.apply({ kind: 'batch', origin: '', seq: evaluator.seq + 1, atMs, readings: readings.map(({ backlog, ...reading }) => ({ ...reading, late: backlog, sequence: 0 })) });
    for (const { from, owner, rule, what, atMs: movedMs } of transitions) if (from === 'normal' && what === 'raised') alarms.push({ alarm: `${owner}/${rule.name}`, s: (movedMs - liveFromMs) / 1000 });
  }
  return alarms;
}

describe('what Potside makes of a simulated site', () => {
  for (const seed of [1, 2, 3]) {
    it(`demo, seed ${seed}: a quiet morning, then a low nozzle on rig A and bad air on rig B within two minutes`, () => {
      const alarms = raised('demo', seed, { beforeS: 7200, afterS: 240 });
      expect(alarms.map(({ alarm }) => alarm)).toEqual(['rig-a/nozzle-pressure-low', 'rig-b/co-high']);
      for (const { s } of alarms) expect(s > 60 && s < 120).toBe(true);
    });

    // One seed has the whole day, the others its beginning: a day takes seconds.
    it(`quiet, seed ${seed}: nothing to raise`, () => {
      expect(raised('quiet', seed, { beforeS: 1200, afterS: seed === 1 ? 31_200 : 6000 })).toEqual([]);
    }, 180_000);

    it(`co-wind, seed ${seed}: both panels within four minutes of the wind beginning to turn`, () => {
      const alarms = raised('co-wind', seed, { beforeS: 1200, afterS: 600 });
      expect(alarms.map(({ alarm }) => alarm).sort()).toEqual(['comp-1/intake-downwind-co', 'rig-a/co-high', 'rig-b/co-high']);
      for (const { s } of alarms.filter(({ alarm }) => alarm.endsWith('/co-high'))) expect(s > 60 && s < 300).toBe(true);
    });
  }
});

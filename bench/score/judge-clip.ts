import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import type { Action, LoggedReading } from '../../domain/site/log.ts';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { AlarmTransition } from '../../domain/site/site-effects.ts';
import { IntakeMemory } from '../../gateway/intake-memory.ts';
import { takeIn } from '../../gateway/take-in.ts';
import { TopicMap } from '../../gateway/topic-map.ts';
import { parseSiteYaml } from '../../host/read-site-config.ts';
import { type Simulation, createSimulation } from '../../simulator/simulation.ts';
import { Crew } from './crew.ts';

/** A stretch of a scenario, counted from the moment it goes live. */
export interface Clip {
  readonly scenario: string;
  readonly seed: number;
  readonly rigs?: number;
  readonly beforeS: number;
  readonly afterS: number;
}

/** One alarm announced to people. */
export interface Call {
  readonly owner: string;
  readonly name: string;
  readonly priority: AlarmPriority;
  /** Seconds from going live. */
  readonly s: number;
}

export interface JudgedClip {
  readonly simulation: Simulation;
  readonly site: SiteEvaluator;
  readonly liveFromMs: number;
  readonly calls: readonly Call[];
}

/** Lets somebody look at the site after each second. */
export type Look = (site: SiteEvaluator, simulation: Simulation, atMs: number) => void;

const START_MS = Date.UTC(2026, 8, 14, 12);

/** A clip through the gateway's intake and the fold, with an orderly crew and without MQTT: what Potside announces of it. */
export function judgeClip(clip: Clip, look: Look = () => undefined): JudgedClip {
  const liveFromMs = START_MS + clip.beforeS * 1000;
  const simulation = createSimulation({ scenario: clip.scenario, seed: clip.seed, rigs: clip.rigs ?? 2, startAtMs: START_MS, liveFromMs });
  const config = parseSiteYaml(simulation.siteYaml, 'site.yaml');
  const topics = new TopicMap(config);
  const memory = new IntakeMemory();
  const site = new SiteEvaluator(simulation.siteId);
  const crew = new Crew(config.rigs.map(({ id }) => id), START_MS);
  const calls: Call[] = [];
  let sequence = 0;
  const apply = (entry: object): void => {
    const { transitions, refusal } = site.apply({ seq: site.seq + 1, ...entry } as never);
    if (refusal !== null) throw new Error(`the crew was refused: ${refusal}`);
    for (const move of transitions) if (isCall(move)) calls.push({ owner: move.owner, name: move.rule.name, priority: move.rule.priority, s: (move.atMs - liveFromMs) / 1000 });
  };
  apply({ kind: 'config', atMs: START_MS, version: '1', config });
  const endMs = liveFromMs + clip.afterS * 1000;
  const isBlasting = (rig: string): boolean => site.point(rig, 'blasting')?.value === 1;
  for (let atMs = START_MS + 1000; atMs <= endMs; atMs += 1000) {
    for (const message of simulation.advanceTo(atMs)) {
      const { readings } = takeIn(topics, { topic: message.topic, payload: Buffer.from(message.payload), retained: false }, message.atMs, memory);
      memory.seen.add(readings);
      apply({ kind: 'batch', atMs: message.atMs, origin: 'clip', readings: readings.map(({ backlog, ...reading }): LoggedReading => ({ ...reading, sequence: ++sequence, late: backlog })) });
    }
    crew.due(atMs, isBlasting).forEach((told, n) => apply({ kind: 'action', atMs, action: { ...told, by: 'tender', role: 'tender', from: 'crew', key: `${atMs}-${n}` } as Action }));
    look(site, simulation, atMs);
  }
  return { simulation, site, liveFromMs, calls };
}

function isCall({ from, occurrence }: AlarmTransition): boolean {
  return occurrence.state === 'unacknowledged' && from !== 'unacknowledged';
}

export const isAudible = (call: Call): boolean => call.priority !== 'low';

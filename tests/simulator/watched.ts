import { createSimulation } from '../../simulator/simulation.ts';

/** One value that a point reported, in its unit. */
export interface Seen {
  /** Seconds since going live. */
  readonly s: number;
  readonly value: number;
}

const START = 1_764_000_000_000;

/**
 * Runs a scenario and returns what each point reported, by `owner/point`, read through the very mapping that its
 * site.yaml gives to a server.
 */
export function watch(options: { scenario: string; seed: number; rigs?: number; beforeS: number; afterS: number }): Map<string, Seen[]> {
  const liveFromMs = START + options.beforeS * 1000;
  const simulation = createSimulation({ scenario: options.scenario, seed: options.seed, rigs: options.rigs ?? 2, startAtMs: START, liveFromMs });
  const mapping = readMapping(simulation.siteYaml);
  const seen = new Map<string, Seen[]>();
  for (const { topic, payload, atMs } of simulation.advanceTo(liveFromMs + options.afterS * 1000)) {
    for (const { point, pointer } of mapping.get(topic) ?? []) {
      const value = pointer.split('/').slice(1).reduce<unknown>((at, key) => (at as Record<string, unknown>)[key], JSON.parse(payload));
      const values = seen.get(point) ?? [];
      if (values.length === 0) seen.set(point, values);
      values.push({ s: (atMs - liveFromMs) / 1000, value: value as number });
    }
  }
  return seen;
}

/** Topic → the points that are read from it. */
function readMapping(siteYaml: string): Map<string, { point: string; pointer: string }[]> {
  const mapping = new Map<string, { point: string; pointer: string }[]>();
  let owner = 'site';
  for (const line of siteYaml.split('\n')) {
    owner = /^points:/.test(line) ? 'site' : (/^ {2}- id: (\S+)/.exec(line)?.[1] ?? owner);
    const [, point, topic, pointer] = /^ +([a-z-]+): \{ topic: (\S+), payload: json, value: (\S+),/.exec(line) ?? [];
    if (point && topic && pointer) mapping.set(topic, [...(mapping.get(topic) ?? []), { point: `${owner}/${point}`, pointer }]);
  }
  return mapping;
}

export function between(seen: readonly Seen[] | undefined, from: number, to: number): number[] {
  return (seen ?? []).filter(({ s }) => s >= from && s < to).map(({ value }) => value);
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

import fc from 'fast-check';
import { parse } from 'yaml';
import { describe, expect, it } from 'vitest';
import { parseSiteConfig } from '../../domain/wire/site-yaml.ts';
import { findPointKind } from '../../domain/points/catalogue.ts';
import { needUnit } from '../../domain/quantity/unit.ts';
import { type DeviceMessage, SCENARIOS, createSimulation } from '../../simulator/simulation.ts';

const START = 1_764_000_000_000;
const NAMES = SCENARIOS.map(({ name }) => name);
const scenario = fc.constantFrom(...NAMES);

function text(messages: readonly DeviceMessage[]): string {
  return messages.map(({ device, topic, payload, atMs }) => `${atMs} ${device} ${topic} ${payload}`).join('\n');
}

describe('a simulation', () => {
  it('gives the same bytes for the same seed, in whatever steps it is advanced', () => {
    fc.assert(
      fc.property(scenario, fc.integer({ min: 0, max: 2 ** 40 }), fc.integer({ min: 1, max: 4 }), fc.array(fc.integer({ min: 1, max: 90_000 }), { maxLength: 12 }), (name, seed, rigs, steps) => {
        const once = createSimulation({ scenario: name, seed, rigs, startAtMs: START, liveFromMs: START + 60_000 });
        const stepwise = createSimulation({ scenario: name, seed, rigs, startAtMs: START, liveFromMs: START + 60_000 });
        const messages: DeviceMessage[] = [];
        let atMs = START;
        for (const step of steps) if (atMs + step < START + 180_000) messages.push(...stepwise.advanceTo((atMs += step)));
        messages.push(...stepwise.advanceTo(START + 180_000));
        expect(text(messages)).toBe(text(once.advanceTo(START + 180_000)));
        expect(stepwise.siteYaml).toBe(once.siteYaml);
      }),
      { numRuns: 25 },
    );
  });

  it('differs by seed', () => {
    const run = (seed: number): string => text(createSimulation({ scenario: 'quiet', seed, rigs: 1, startAtMs: START }).advanceTo(START + 60_000));
    expect(run(1)).not.toBe(run(2));
    expect(run(1)).not.toBe(run(1 + 2 ** 32));
  });

  it('publishes in time order, none before the start and none after the moment asked for', () => {
    const simulation = createSimulation({ scenario: 'network-cut', seed: 4, rigs: 3, startAtMs: START, liveFromMs: START + 60_000 });
    let last = START;
    for (let atMs = START; atMs < START + 600_000; atMs += 777) {
      for (const message of simulation.advanceTo(atMs)) {
        expect(message.atMs).toBeGreaterThanOrEqual(last);
        expect(message.atMs).toBeLessThanOrEqual(atMs);
        last = message.atMs;
      }
    }
  });

  it('refuses a scenario it does not know, and names those it knows', () => {
    expect(() => createSimulation({ scenario: 'nonesuch', seed: 1, rigs: 1, startAtMs: START })).toThrow(/nonesuch.*demo, quiet/);
    expect(() => createSimulation({ scenario: 'demo', seed: 1, rigs: 0, startAtMs: START })).toThrow(/rigs/);
  });
});

describe('what is conserved', () => {
  const run = fc.tuple(scenario, fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 1, max: 3 }));

  it('air, abrasive and water, to a thousandth of what passed', () => {
    fc.assert(
      fc.property(run, ([name, seed, rigs]) => {
        const { truth, advanceTo } = createSimulation({ scenario: name, seed, rigs, startAtMs: START, liveFromMs: START + 600_000 });
        const stored = (supply: (typeof truth.supplies)[number]): number => supply.nodes.reduce((sum, { massKg }) => sum + massKg, 0);
        const airBefore = truth.supplies.map(stored);
        const gritBefore = truth.supplies.map(({ rigs: lines }) => lines.map(({ pot }) => pot.abrasiveKg));
        advanceTo(START + 1_500_000);
        truth.supplies.forEach((supply, i) => {
          const passed = supply.air.in + supply.air.out + stored(supply);
          expect(Math.abs(stored(supply) - (airBefore[i] ?? 0) - supply.air.in + supply.air.out)).toBeLessThan(1e-3 * passed);
          supply.rigs.forEach(({ pot, moisture }, j) => {
            expect(pot.abrasiveKg + pot.abrasive.blasted - pot.abrasive.poured).toBeCloseTo(gritBefore[i]?.[j] ?? 0, 6);
            expect(pot.abrasiveKg).toBeGreaterThanOrEqual(0);
            expect(moisture.water.separated + moisture.water.out).toBeCloseTo(moisture.water.in, 6);
            expect(moisture.water.separated).toBeGreaterThanOrEqual(0);
          });
        });
      }),
      { numRuns: 20 },
    );
  });

  it('pressures stay between vacuum and what the compressor can make', () => {
    fc.assert(
      fc.property(run, ([name, seed, rigs]) => {
        const { truth, advanceTo } = createSimulation({ scenario: name, seed, rigs, startAtMs: START, liveFromMs: START + 300_000 });
        for (let atMs = START; atMs < START + 900_000; atMs += 250) {
          advanceTo(atMs);
          for (const { nodes } of truth.supplies) for (const { pressure } of nodes) expect(pressure > 7e4 && pressure < 1e6).toBe(true);
        }
      }),
      { numRuns: 12 },
    );
  });
});

describe('the site.yaml of a simulation', () => {
  for (const name of NAMES) {
    it(`${name}: is one that Potside accepts, and maps every JSON message`, () => {
      const simulation = createSimulation({ scenario: name, seed: 1, rigs: 3, startAtMs: START });
      const read = parseSiteConfig(parse(simulation.siteYaml));
      expect('problems' in read ? read.problems : []).toEqual([]);
      if (!('config' in read)) return;
      const { config } = read;
      expect(config.site.id).toBe(simulation.siteId);
      expect(config.rigs.map((rig) => rig.name)).toEqual(['Rig A', 'Rig B', 'Rig C']);
      expect(config.compressors.flatMap((compressor) => compressor.serves)).toEqual(['rig-a', 'rig-b', 'rig-c']);
      const sources = [...config.rigs, ...config.compressors, config].flatMap(({ points }) => Object.entries(points));
      for (const [point, { unit }] of sources) expect(needUnit(unit, findPointKind(point)?.dimension ?? 'count').code).toBe(unit);
      const topics = new Set(sources.map(([, { topic }]) => topic));
      for (const { topic, payload } of simulation.advanceTo(START + 30_000)) {
        if (payload.startsWith('{')) expect(topics).toContain(topic);
        else expect(topic).toMatch(new RegExp(`^potside/${config.site.id}/rig-[abc]/steel-temperature$`));
      }
    });
  }
});

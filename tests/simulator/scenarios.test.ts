import { describe, expect, it } from 'vitest';
import { SCENARIOS, createSimulation } from '../../simulator/simulation.ts';
import { type Seen, between, mean, watch } from './watched.ts';

const SEEDS = [1, 2, 3];
type Site = Map<string, Seen[]>;

/** What each scenario must show, `s` in seconds from going live. */
function story(scenario: string, title: string, check: (seen: Site) => void, span: { beforeS?: number; afterS?: number } = {}): void {
  for (const seed of SEEDS) {
    it(`${scenario}, seed ${seed}: ${title}`, () => check(watch({ scenario, seed, beforeS: span.beforeS ?? 1200, afterS: span.afterS ?? 1500 })));
  }
}

/** Readings of a point while the rig's handle has been held for 12 s. */
function blasting(seen: Site, point: string, from: number, to: number): number[] {
  const handle = seen.get(`${point.split('/')[0]}/remote-control`) ?? [];
  let heldFor = 0;
  return (seen.get(point) ?? []).flatMap(({ s, value }, i) => {
    heldFor = handle[i]?.value === 1 ? heldFor + 1 : 0;
    return heldFor > 12 && s >= from && s < to ? [value] : [];
  });
}

/** Seconds from each release until the pot is below 5 psi. */
function blowDowns(seen: Site, rig: string, from: number, to: number): number[] {
  const handle = seen.get(`${rig}/remote-control`) ?? [];
  const pot = seen.get(`${rig}/pot-pressure`) ?? [];
  const times: number[] = [];
  handle.forEach(({ s, value }, i) => {
    if (value !== 0 || handle[i - 1]?.value !== 1 || (pot[i - 1]?.value ?? 0) < 60 || s < from || s >= to) return;
    const empty = pot.find((reading) => reading.s >= s && reading.value < 5);
    if (empty) times.push(empty.s - s);
  });
  return times;
}

const at = (seen: Site, point: string, from: number, to: number): number[] => between(seen.get(point), from, to);
const highest = (values: readonly number[]): number => Math.max(...values);
const lowest = (values: readonly number[]): number => Math.min(...values);

describe('scenarios', () => {
  story('quiet', 'four hours without anything out of bounds', (seen) => {
    for (const rig of ['rig-a', 'rig-b']) {
      expect(highest(at(seen, `${rig}/breathing-air-co`, -1200, 14_400))).toBeLessThan(3);
      expect(lowest(at(seen, `${rig}/breathing-air-pressure`, -1200, 14_400))).toBeGreaterThan(58);
      expect(lowest(at(seen, `${rig}/supply-pressure`, -1200, 14_400))).toBeGreaterThan(80);
      expect(highest(at(seen, `${rig}/supply-pressure`, -1200, 14_400))).toBeLessThan(118);
      expect(highest(blowDowns(seen, rig, -1200, 14_400))).toBeLessThan(9);
      const dew = at(seen, `${rig}/air-line-dew-point`, -1200, 14_400);
      const separator = at(seen, `${rig}/separator-temperature`, -1200, 14_400);
      expect(mean(dew)).toBeLessThan(mean(separator) + 1.5);
    }
    expect(highest(at(seen, 'site/ambient-humidity', -1200, 14_400))).toBeLessThan(80);
  }, { afterS: 14_400 });

  story('co-wind', 'both panels pass 10 ppm together and clear when the wind turns back', (seen) => {
    for (const rig of ['rig-a', 'rig-b']) {
      expect(highest(at(seen, `${rig}/breathing-air-co`, -1200, 60))).toBeLessThan(4);
      expect(mean(at(seen, `${rig}/breathing-air-co`, 400, 800))).toBeGreaterThan(15);
      expect(highest(at(seen, `${rig}/breathing-air-co`, 1400, 1500))).toBeLessThan(6);
    }
  });

  story('co-hot-compressor', 'carbon monoxide follows the air end, whatever the wind', (seen) => {
    expect(highest(at(seen, 'comp-1/compressor-temperature', -1200, 0))).toBeLessThan(95);
    expect(highest(at(seen, 'rig-a/breathing-air-co', -1200, 300))).toBeLessThan(4);
    expect(lowest(at(seen, 'comp-1/compressor-temperature', 3000, 3600))).toBeGreaterThan(110);
    expect(lowest(at(seen, 'rig-a/breathing-air-co', 3000, 3600))).toBeGreaterThan(10);
  }, { afterS: 3600 });

  story('kinked-hose', 'the nozzle loses more than 12 psi and the pot nothing', (seen) => {
    expect(mean(blasting(seen, 'rig-a/nozzle-pressure', -600, 0)) - mean(blasting(seen, 'rig-a/nozzle-pressure', 20, 240))).toBeGreaterThan(12);
    expect(mean(blasting(seen, 'rig-a/pot-pressure', 20, 240))).toBeGreaterThan(mean(blasting(seen, 'rig-a/pot-pressure', -600, 0)) - 1);
  });

  story('rich-mix', 'the blast hose costs more while less air flows', (seen) => {
    const loss = (from: number, to: number): number => mean(blasting(seen, 'rig-a/pot-pressure', from, to)) - mean(blasting(seen, 'rig-a/nozzle-pressure', from, to));
    expect(loss(20, 240) - loss(-600, 0)).toBeGreaterThan(1.5);
  });

  story('worn-nozzle', 'rig A takes a third more air than at first, and every loss grows', (seen) => {
    const loss = (from: number, to: number): number => mean(blasting(seen, 'rig-a/supply-pressure', from, to)) - mean(blasting(seen, 'rig-a/nozzle-pressure', from, to));
    expect(loss(26_000, 29_000) / loss(-600, 1500)).toBeGreaterThan(1.25);
  }, { afterS: 29_000 });

  story('compressor-small', 'one rig is well; with the second both are low', (seen) => {
    expect(mean(blasting(seen, 'rig-a/nozzle-pressure', -600, 0))).toBeGreaterThan(95);
    expect(mean(blasting(seen, 'rig-a/nozzle-pressure', 120, 240))).toBeLessThan(88);
    expect(mean(blasting(seen, 'rig-b/nozzle-pressure', 120, 240))).toBeLessThan(88);
  });

  story('compressor-trip', 'supply falls by 20 psi within 15 s and breathing air follows', (seen) => {
    const supply = seen.get('rig-a/supply-pressure') ?? [];
    const before = mean(at(seen, 'rig-a/supply-pressure', -5, 0));
    expect(supply.find(({ s, value }) => s > 0 && value < before - 20)?.s).toBeLessThan(15);
    expect(lowest(at(seen, 'rig-a/breathing-air-pressure', 60, 400))).toBeLessThan(45);
    expect(mean(at(seen, 'rig-a/breathing-air-pressure', 1000, 1500))).toBeGreaterThan(58);
  });

  story('leaking-supply', 'shut in, the line loses pressure steadily', (seen) => {
    const fall = at(seen, 'rig-a/supply-pressure', 3, 57);
    expect((fall[0] ?? 0) - (fall.at(-1) ?? 0)).toBeGreaterThan(10);
    expect((fall[0] ?? 0) - (fall.at(-1) ?? 0)).toBeLessThan(40);
  });

  story('deadman-slow', 'the pot takes more than twice as long to blow down', (seen) => {
    expect(mean(blowDowns(seen, 'rig-a', 0, 3600)) / mean(blowDowns(seen, 'rig-a', -1200, 0))).toBeGreaterThan(2);
  }, { afterS: 3600 });

  story('pot-empty', 'without abrasive the nozzle rises and its hose costs less', (seen) => {
    const loss = (from: number, to: number): number => mean(blasting(seen, 'rig-a/pot-pressure', from, to)) - mean(blasting(seen, 'rig-a/nozzle-pressure', from, to));
    expect(loss(-900, 0) - loss(2000, 3500)).toBeGreaterThan(1.5);
  }, { afterS: 3500 });

  story('separator-overwhelmed', 'the air after the separator comes more than 10 K above ambient', (seen) => {
    const above = (from: number, to: number): number => mean(at(seen, 'rig-a/separator-temperature', from, to)) - mean(at(seen, 'site/ambient-temperature', from, to));
    expect(above(-600, 0)).toBeLessThan(8);
    expect(highest(at(seen, 'rig-a/separator-temperature', 1500, 3600)) - mean(at(seen, 'site/ambient-temperature', 1500, 3600))).toBeGreaterThan(10);
    expect(highest(at(seen, 'rig-a/air-line-dew-point', 1500, 3600))).toBeLessThan(highest(at(seen, 'rig-a/separator-temperature', 1500, 3600)) + 2.5);
  }, { afterS: 3600 });

  story('freezing-line', 'air and line are near freezing and the rig obeys later and later', (seen) => {
    expect(highest(at(seen, 'site/ambient-temperature', -1200, 3600))).toBeLessThan(2);
    expect(mean(blowDowns(seen, 'rig-a', 2400, 3600)) - mean(blowDowns(seen, 'rig-a', -1200, 0))).toBeGreaterThan(3);
  }, { afterS: 3600 });

  story('breathing-low', 'the pressure at the hood falls below 45 psi while supply is well', (seen) => {
    expect(lowest(at(seen, 'rig-a/breathing-air-pressure', -1200, 0))).toBeGreaterThan(58);
    expect(highest(at(seen, 'rig-a/breathing-air-pressure', 1300, 1500))).toBeLessThan(45);
    expect(lowest(at(seen, 'rig-b/breathing-air-pressure', 0, 1500))).toBeGreaterThan(58);
    expect(lowest(at(seen, 'rig-a/supply-pressure', 0, 1500))).toBeGreaterThan(80);
  });

  story('catalyst-spent', 'the same exhaust reaches rig A and not rig B', (seen) => {
    expect(mean(at(seen, 'rig-a/breathing-air-co', 300, 600))).toBeGreaterThan(12);
    expect(highest(at(seen, 'rig-b/breathing-air-co', 0, 1500))).toBeLessThan(6);
  });

  story('clogged-separator', 'the loss is ahead of the pot, and the blast hose costs less', (seen) => {
    const loss = (above: string, below: string, from: number, to: number): number => mean(at(seen, above, from, to)) - mean(blasting(seen, below, from, to));
    expect(loss('comp-1/compressor-pressure', 'rig-a/supply-pressure', 3600, 6000) - loss('comp-1/compressor-pressure', 'rig-a/supply-pressure', -900, 0)).toBeGreaterThan(8);
    const hose = (from: number, to: number): number => mean(blasting(seen, 'rig-a/pot-pressure', from, to)) - mean(blasting(seen, 'rig-a/nozzle-pressure', from, to));
    expect(hose(3600, 6000)).toBeLessThan(hose(-900, 0));
  }, { afterS: 6000 });

  story('handle-tied', 'held for an hour, and only air for the last of it', (seen) => {
    expect(lowest(at(seen, 'rig-a/remote-control', 5, 3595))).toBe(1);
    const loss = (from: number, to: number): number => mean(at(seen, 'rig-a/pot-pressure', from, to)) - mean(at(seen, 'rig-a/nozzle-pressure', from, to));
    expect(loss(60, 300) - loss(3000, 3500)).toBeGreaterThan(1.2);
  }, { afterS: 3600 });

  story('gauge-drifting', 'it looks like a loss, and is none', (seen) => {
    expect(mean(blasting(seen, 'rig-a/nozzle-pressure', -900, 0)) - mean(blasting(seen, 'rig-a/nozzle-pressure', 6600, 7200))).toBeGreaterThan(2.5);
  }, { afterS: 7200 });

  story('gauge-stuck', 'one gauge repeats itself while the pot behind it works', (seen) => {
    expect(new Set(at(seen, 'rig-a/supply-pressure', 5, 1500)).size).toBe(1);
    expect(new Set(at(seen, 'rig-a/pot-pressure', 5, 1500)).size).toBeGreaterThan(20);
  });

  story('co-sensor-stuck', 'rig A\'s cell says nothing of what rig B\'s sees', (seen) => {
    expect(highest(at(seen, 'rig-a/breathing-air-co', -290, 1500))).toBeLessThan(4);
    expect(highest(at(seen, 'rig-b/breathing-air-co', 0, 800))).toBeGreaterThan(12);
  });

  story('wrong-unit', 'a supply of 7 where the pot behind it has 100', (seen) => {
    expect(highest(at(seen, 'rig-b/supply-pressure', 5, 1500))).toBeLessThan(10);
    expect(highest(at(seen, 'rig-b/pot-pressure', 5, 1500))).toBeGreaterThan(90);
  });
});

describe('scenarios of devices and links', () => {
  const START = 1_764_000_000_000;
  const LIVE = START + 600_000;
  const timesOf = (scenario: string): { at: number; ts: number }[] =>
    createSimulation({ scenario, seed: 1, rigs: 1, startAtMs: START, liveFromMs: LIVE })
      .advanceTo(LIVE + 600_000)
      .filter(({ device }) => device === 'rig-a/line')
      .map(({ atMs, payload }) => ({ at: (atMs - LIVE) / 1000, ts: (JSON.parse(payload) as { ts: number }).ts - LIVE / 1000 }));

  it('network-cut: nothing for five minutes, then all of it, in order, with the times at which it was measured', () => {
    const times = timesOf('network-cut');
    expect(times.filter(({ at: s }) => s > 0 && s < 300)).toEqual([]);
    expect(times.filter(({ at: s, ts }) => s > 300 && ts < 300 && ts > 0).length).toBe(300);
    expect(times.map(({ ts }) => ts)).toEqual(times.map(({ ts }) => ts).sort((a, b) => a - b));
  });

  it('clock-off: silent while it restarts, then an hour ahead', () => {
    const times = timesOf('clock-off');
    expect(times.filter(({ at: s }) => s > -20 && s < 0)).toEqual([]);
    for (const { at: s, ts } of times.filter((time) => time.at > 0)) expect(ts - s).toBeCloseTo(3600, 3);
  });

  it('badly-set-up: the site\'s own limits stand in its configuration', () => {
    expect(createSimulation({ scenario: 'badly-set-up', seed: 1, rigs: 1, startAtMs: START }).siteYaml).toContain('supply-pressure-low: { limit: 106psi, deadband: 0psi, on-delay: 0s, off-delay: 0s }');
  });

  it('front-arriving: the coldest steel comes within 3 K of the dew point', () => {
    const { truth, advanceTo } = createSimulation({ scenario: 'front-arriving', seed: 1, rigs: 1, startAtMs: START, liveFromMs: LIVE });
    const margin = (): number => (truth.supplies[0]?.rigs[0]?.steel ?? NaN) - truth.weather.dewPoint;
    advanceTo(LIVE);
    expect(margin()).toBeGreaterThan(3.5);
    advanceTo(LIVE + 3600_000);
    expect(margin()).toBeLessThan(3);
  });

  it('fortnight: ten hours of work a day and nobody on the handle at night', () => {
    const { truth, advanceTo } = createSimulation({ scenario: 'fortnight', seed: 1, rigs: 1, startAtMs: START });
    const held = new Map<string, number>();
    for (let minute = 0; minute < 2 * 1440; minute += 1) {
      advanceTo(START + minute * 60_000);
      const hour = (6 + minute / 60) % 24;
      const part = hour >= 7.5 && hour < 17 ? 'day' : hour >= 17.5 || hour < 6.9 ? 'night' : 'between';
      held.set(part, (held.get(part) ?? 0) + (truth.supplies[0]?.rigs[0]?.blaster.held ? 1 : 0));
    }
    expect(held.get('night')).toBe(0);
    expect(held.get('day')).toBeGreaterThan(300);
  });

  it('every fault of a script is told with its cause, its place and its onset', () => {
    for (const { name } of SCENARIOS) {
      const { faults } = createSimulation({ scenario: name, seed: 1, rigs: 2, startAtMs: START, liveFromMs: LIVE });
      const uneventful = ['quiet', 'daylight-saving-night', 'badly-set-up'].includes(name);
      expect(faults.length > 0, name).toBe(!uneventful);
      for (const fault of faults) expect(fault.fromMs).toBeGreaterThanOrEqual(START);
    }
    expect(createSimulation({ scenario: 'demo', seed: 1, rigs: 2, startAtMs: START, liveFromMs: LIVE }).faults[0]).toEqual({ cause: 'kinked blast hose', on: 'rig-a', fromMs: LIVE + 40_000, toMs: LIVE + 195_000 });
  });
});

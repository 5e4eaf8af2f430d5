import { describe, expect, it } from 'vitest';
import { bindRules, bindStateRules, type RuleOwner } from '../../../domain/alarms/bind-rules.ts';
import { ALARM_TABLE } from '../../../domain/alarms/table.ts';
import { findPointKind, POINT_KINDS } from '../../../domain/points/catalogue.ts';
import { findUnit } from '../../../domain/quantity/unit.ts';

const RIG: RuleOwner = { id: 'rig-a', kind: 'rig', regime: 'US', vesselRating: 125, wantedLow: 90, respirator: { low: 50, high: 75 }, potEnduranceS: 1500 };

/** The rows of the trade's own list, and the rules that stand for each. */
const ROWS: Readonly<Record<string, readonly string[]>> = {
  'CO high': ['co-high'], 'CO rising': ['co-rising'], 'CO unknown': ['co-unknown', 'co-unknown-long'],
  'breathing pressure low': ['breathing-pressure-low'], 'breathing pressure high': ['breathing-pressure-high', 'breathing-pressure-extreme'],
  'blasting without air': ['blasting-without-air', 'trigger-nobody-under-hood'], 'supply collapse': ['supply-collapse', 'compressor-tripped'],
  oxygen: ['oxygen'], 'reserve air low': ['reserve-air-low'], 'bump, calibration, filter due': ['bump-due', 'calibration-due', 'filter-due'],
  'deadman failed': ['deadman-failed'], 'deadman slow': ['deadman-slow'], 'trigger too long': ['trigger-too-long'], 'pot pressurised unexpectedly': ['pot-pressurised'],
  'above vessel rating': ['above-vessel-rating', 'near-vessel-rating'], 'supply low': ['supply-pressure-low', 'supply-low-while-triggered'], 'nozzle low': ['nozzle-pressure-low'],
  'line loss off': ['line-loss-off'], 'separator or filter loss': ['separator-loss'], 'nozzle worn': ['nozzle-worn', 'nozzle-worn-out'], 'abrasive stopped': ['abrasive-stopped'],
  'compressor overloaded': ['compressor-overloaded'], 'compressor hot': ['compressor-hot'], 'line wet': ['line-wet'], freezing: ['freezing'],
  'breathing air damp': ['breathing-air-damp', 'breathing-air-damp-pressure'], 'blotter or spot reading due': ['blotter-due', 'spot-due'],
  'steel margin': ['steel-margin', 'steel-margin-soon'], humidity: ['humidity'], 'intake downwind': ['intake-downwind', 'intake-downwind-co'], containment: ['containment'],
  'sensor lost': ['sensor-lost', 'supply-pressure-unknown', 'supply-gauge-frozen', 'nozzle-gauge-frozen', 'pot-gauge-frozen', 'separator-gauge-frozen', 'air-flow-frozen', 'compressor-temperature-frozen', 'co-monitor-frozen'], 'power or clock': ['on-battery', 'clock-off'], 'alarm path dead': ['beacon-dead', 'outbox-full', 'certificate-ending', 'readings-set-aside', 'not-recording', 'not-judged', 'nobody-told'],
};

describe('the alarm table', () => {
  it('has a rule for every row, and no rule that no row asks for', () => {
    expect([...new Set(ALARM_TABLE.map(({ name }) => name))].sort()).toEqual(Object.values(ROWS).flat().sort());
  });

  it.each(ALARM_TABLE.map((rule) => [`${rule.name} of a ${rule.owner}`, rule] as const))('%s is rationalised', (_name, rule) => {
    expect(rule.title.length).toBeLessThanOrEqual(60);
    for (const said of [rule.cause, rule.consequence, rule.response, rule.respondWithin, rule.limitSource]) expect(said.length).toBeGreaterThanOrEqual(3);
    const everything = JSON.stringify(rule).toLowerCase();
    expect(everything).not.toMatch(/\bsafe\b|\bsafely\b/);
    if (rule.isAir) expect(rule.response.toLowerCase()).not.toMatch(/^(take off|hood|stop the compressor|the compressor|compressor)/);
    // In what to do about bad air, out comes before the hood, and the hood before the compressor.
    if (rule.needsOut) {
      const [out, hood, compressor] = [/walk|out\b|go to the blaster|signal|bring/i, /hood off/i, /compressor/i].map((word) => rule.response.search(word));
      if ((hood ?? -1) >= 0) expect(out).toBeLessThan(hood ?? 0);
      if ((compressor ?? -1) >= 0) expect(hood).toBeLessThan(compressor ?? 0);
    }
    if (rule.point !== null && rule.point !== 'every-measured') expect(findPointKind(rule.point)?.owner).toBe(rule.owner);
    if (rule.measure) expect(findUnit(rule.measure.unit, rule.measure.dimension)).toBeDefined();
    if (rule.condition.kind === 'state') for (const id of [...rule.condition.needs, ...(rule.condition.prompt === 'told' ? [] : rule.condition.prompt)]) expect(findPointKind(id), id).toBeDefined();
    if (rule.needsOut || rule.latched) expect(rule.autoAcknowledge).toBe(false);
  });

  it('lets nobody but a safety officer shelve carbon monoxide and loss of air', () => {
    for (const { name, isAir, priority, shelvableBy } of ALARM_TABLE) if (isAir && priority === 'critical') expect([name, shelvableBy]).not.toEqual([name, 'supervisor']);
  });

  it('has most of its alarms low or medium, and few critical', () => {
    const share = (priority: string): number => ALARM_TABLE.filter((rule) => rule.priority === priority).length / ALARM_TABLE.length;
    expect(share('critical')).toBeLessThan(0.35);
    expect(share('low') + share('medium')).toBeGreaterThan(0.45);
  });
});

describe('binding', () => {
  const limit = (owner: RuleOwner, point: string, name: string, overrides = {}) => bindRules(ALARM_TABLE, owner, point, overrides).find(({ rule }) => rule.name === name)?.limit;

  it('takes limits from the regime, the plate, the respirator’s table and the site', () => {
    expect([limit(RIG, 'breathing-air-co', 'co-high'), limit({ ...RIG, regime: 'EN' }, 'breathing-air-co', 'co-high')]).toEqual([10, 5]);
    expect(limit(RIG, 'breathing-air-co', 'co-high', { 'co-high': { limit: 8 } })).toBe(8);
    expect([limit(RIG, 'supply-pressure', 'above-vessel-rating'), limit(RIG, 'supply-pressure', 'near-vessel-rating')]).toEqual([125, 120]);
    expect([limit(RIG, 'breathing-air-pressure', 'breathing-pressure-low'), limit(RIG, 'breathing-air-pressure', 'breathing-pressure-high')]).toEqual([50, 75]);
    expect(limit(RIG, 'handle-held', 'trigger-too-long')).toBe(1800);
  });

  it('leaves out what has no limit', () => {
    const bare = { ...RIG, vesselRating: null, respirator: null };
    expect([limit(bare, 'supply-pressure', 'above-vessel-rating'), limit(bare, 'breathing-air-pressure', 'breathing-pressure-low'), limit(RIG, 'reserve-air-pressure', 'reserve-air-low')]).toEqual([undefined, undefined, undefined]);
  });

  it('leaves out a test whose points are not fitted, and one of another regime', () => {
    const names = (fitted: string[]): string[] => bindStateRules(ALARM_TABLE, RIG, (id) => fitted.includes(id), {}).map(({ rule }) => rule.name);
    expect(names(['nozzle-pressure'])).not.toContain('deadman-failed');
    expect(names(['nozzle-pressure', 'remote-control'])).toContain('deadman-failed');
    expect(limit(RIG, 'hose-condensation-margin', 'breathing-air-damp-pressure')).toBeUndefined();
    expect(limit({ ...RIG, regime: 'EN' }, 'hose-condensation-margin', 'breathing-air-damp-pressure')).toBe(5);
  });

  it('gives every measured point one alarm on its silence', () => {
    for (const kind of POINT_KINDS.filter(({ origin }) => origin === 'measured')) {
      const unknown = bindRules(ALARM_TABLE, { ...RIG, kind: kind.owner }, kind.id, {}).filter(({ rule }) => rule.condition.kind === 'unknown');
      expect([kind.id, unknown.length]).toEqual([kind.id, kind.id === 'breathing-air-co' ? 2 : 1]);
    }
  });
});

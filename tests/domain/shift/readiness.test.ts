import { describe, expect, it } from 'vitest';
import { judgeHold, type HoldRun } from '../../../domain/shift/readiness/hold-test.ts';
import { BEFORE_IDS, stepsOf } from '../../../domain/shift/readiness/steps-of.ts';
import { READY_EVENTS, SEQUENCES } from '../../../domain/shift/readiness/step.ts';
import { NO_SETUP } from '../../../domain/shift/shift.ts';
import { SiteEvaluator } from '../../../domain/site/site-evaluator.ts';
import { CheckedRig } from '../../support/checked-rig.ts';
import { SITE_YAML } from '../../support/site.ts';

const AT_ONCE = ['ground', 'vessel', 'hoses', 'panel', 'compressor', 'pressure', 'air', 'climate', 'abrasive', 'dress', 'handle', 'metering'];

describe('the check before blasting', () => {
  it('is not ready until everything is done, and then says one sentence', () => {
    const rig = new CheckedRig();
    expect(rig.open).toEqual(AT_ONCE);
    expect(rig.check.judged.text).toBe('not ready, because Permits, people, ground: not signed yet; and 11 more');
    expect(rig.throughTo('metering')).toEqual(AT_ONCE.map(() => null));
    expect(rig.check.judged).toMatchObject({ result: 'checks-done', text: "checks done; starting is the supervisor's decision", because: [] });
  });

  it('is released by a supervisor alone, and only when all is done', () => {
    const rig = new CheckedRig();
    const release = (role: string): string | null => rig.say({ kind: 'ready-release', rig: 'rig-a' }, 'Dana', role);
    expect(release('supervisor')).toMatch(/^not ready, because/);
    rig.throughTo('metering');
    expect(release('tender')).toBe('starting is the supervisor’s decision');
    expect(release('supervisor')).toBeNull();
    expect(rig.check.judged.result).toBe('released');
    expect(rig.check.held.released).toMatchObject({ by: 'Dana' });
    expect(release('supervisor')).toBe('already released by Dana');
  });

  it('keeps what the sensors showed with the signature', () => {
    const rig = new CheckedRig();
    rig.throughTo('pressure');
    expect(rig.check.held.signed['pressure']).toMatchObject({ by: 'Lee', role: 'tender' });
    const [supply, hold] = rig.check.held.signed['pressure']?.evidence ?? [];
    expect(supply).toBe('supply above 50 psi and not above the vessel’s rating: 109.8 psi (50 to 125)');
    expect(hold).toMatch(/^the supply side holds: [\d.]+ cfm \(at most 1\), holds$/);
  });

  it('belongs to a shift: none open, nothing signed; the next shift begins anew', () => {
    const rig = new CheckedRig();
    rig.throughTo('hoses');
    const shift = rig.site.evaluator.shifts[0]?.id ?? '';
    rig.say({ kind: 'end-shift', shift });
    expect(rig.sign('panel')).toMatch(/^no shift is open/);
    expect(rig.check.judged.text).toBe('not ready, because no shift is open on this rig');
    rig.say({ kind: 'start-shift', rig: 'rig-a' });
    expect(rig.open).toEqual(AT_ONCE);
  });
});

describe('a step is refused', () => {
  it('before those it stands on', () => {
    expect(new CheckedRig().sign('pressure')).toBe('first: Pot at rest');
  });

  it('while a sensor says otherwise, and names what it found', () => {
    const rig = new CheckedRig();
    rig.run(2, { 'pot-pressure': 4 });
    expect(rig.sign('vessel')).toBe('Pot at rest: no pressure in the pot: not so, 4 psi (at most 1)');
    rig.throughTo('compressor');
    rig.run(2, { 'supply-pressure': 131 });
    rig.run(2, { 'pot-pressure': 0 });
    rig.sign('vessel');
    expect(rig.sign('pressure')).toContain('131 psi (50 to 125)');
  });

  it('where the compressor unloads above the vessel’s rating', () => {
    const rig = new CheckedRig();
    rig.sign('ground');
    rig.run(2, { 'compressor-pressure': 131 });
    expect(rig.sign('compressor')).toContain('not yet');
    rig.run(2, { 'compressor-pressure': 118 });
    expect(rig.sign('compressor')).toContain('not so, 131 psi (at most 125)');
  });

  it('while CO is not steady for ten minutes, or a sensor is silent', () => {
    const rig = new CheckedRig();
    rig.throughTo('pressure');
    rig.say({ kind: 'entry', rig: 'rig-a', entry: 'blotter', value: null, place: '', text: '' });
    rig.run(590).run(2, { 'breathing-air-co': 4 });
    expect(rig.sign('air')).toContain('CO steady within 2 ppm for 10 min: not yet');
    rig.run(601);
    rig.atMs += 30_000;
    rig.site.tick(rig.atMs);
    expect(rig.sign('air')).toBe('Air to breathe: CO steady within 2 ppm for 10 min: not so, stale');
    rig.run(602);
    expect(rig.sign('air')).toBeNull();
  });

  it('while the handle was not tried twice, or stopped the nozzle too late', () => {
    const rig = new CheckedRig();
    rig.throughTo('dress');
    const press = (fallS: number) => rig.run(3, { 'remote-control': 1, 'nozzle-pressure': 92 }).run(fallS, { 'remote-control': 0, 'nozzle-pressure': 60 }).run(3, { 'nozzle-pressure': 0 });
    rig.run(2);
    press(1);
    expect(rig.sign('handle')).toContain('1 of 2');
    press(8);
    expect(rig.sign('handle')).toMatch(/stopped within 5 s: not so, (8|9)(\.\d)? s/);
    press(1);
    expect(rig.sign('handle')).toBeNull();
  });

  it('where somebody signed it already; and a failed one until it is signed anew', () => {
    const rig = new CheckedRig();
    rig.sign('hoses');
    expect(rig.sign('hoses', 'Ann')).toBe('already signed by Lee');
    rig.say({ kind: 'ready-fail', rig: 'rig-a', step: 'hoses', text: 'one pin is missing' }, 'Ann');
    expect(rig.check.judged.because.find(({ step }) => step === 'hoses')?.why).toBe('Ann: one pin is missing');
    expect(rig.sign('hoses', 'Ann')).toBeNull();
    expect(rig.state('hoses')).toBe('done');
  });
});

describe('due again', () => {
  const done = (): CheckedRig => {
    const rig = new CheckedRig();
    rig.throughTo('metering');
    rig.say({ kind: 'ready-release', rig: 'rig-a' }, 'Dana', 'supervisor');
    return rig;
  };
  const told = { 'compressor-restart': ['compressor', 'pressure', 'air'], moved: ['compressor', 'pressure', 'air'], break: ['handle'], cold: ['handle'], 'hose-changed': ['hoses', 'handle', 'metering'], 'new-blaster': ['dress'] } as const;

  it.each(READY_EVENTS)('after %s, as told, and the release is void', (event) => {
    const rig = done();
    rig.say({ kind: 'ready-again', rig: 'rig-a', event });
    expect(rig.open).toEqual(told[event]);
    for (const step of told[event]) expect(rig.state(step)).toBe('again');
    expect(rig.check.held.released).toBeNull();
  });

  it('by what the sensors and the log see by themselves', () => {
    const down = done();
    down.run(2, { 'compressor-pressure': 5, 'supply-pressure': 60 });
    expect(down.open).toEqual(['compressor', 'pressure', 'air']);
    const other = done();
    other.say({ kind: 'hood-in', rig: 'rig-a', name: 'Sam' });
    other.run(2);
    expect(other.open).toEqual(['dress']);
    const rest = done();
    rest.run(3_601);
    expect(rest.open).toEqual(['handle']);
    const rebuilt = done();
    rebuilt.site.evaluator.apply({ seq: rebuilt.site.evaluator.seq + 1, atMs: rebuilt.atMs, kind: 'config', version: 'v2', config: { ...rebuilt.site.evaluator.config!, rigs: rebuilt.site.evaluator.config!.rigs.map((one) => (one.id === 'rig-a' ? { ...one, nozzle: { bore: 0.0127 } } : one)) } });
    rebuilt.run(2);
    expect(rebuilt.open).toEqual(['hoses', 'handle', 'metering']);
  });

  it('by another nozzle on the shift’s setup', () => {
    const rig = done();
    const shift = rig.site.evaluator.shifts[0]?.id ?? '';
    expect(rig.say({ kind: 'change-setup', shift, setup: { ...NO_SETUP, nozzleBore: { value: 12.7, unit: 'mm' } } })).toBeNull();
    rig.run(2);
    expect(rig.open).toEqual(['hoses', 'handle', 'metering']);
  });

  it('when it was signed too long ago, and what was watched then counts no more', () => {
    const rig = done();
    rig.atMs += 5 * 3_600_000;
    rig.run(2);
    expect(rig.state('air')).toBe('expired');
    expect(rig.check.judged.because.find(({ step }) => step === 'air')?.why).toBe('due again, signed more than 5 h ago');
    expect(rig.sign('air')).toContain('not yet');
  });

  it('while a sensor contradicts what was signed, and no longer', () => {
    const rig = done();
    rig.run(2, { 'supply-pressure': 40 });
    expect(rig.open).toEqual(['pressure']);
    expect(rig.state('pressure')).toBe('not-so');
    rig.run(2, { 'supply-pressure': 109 });
    expect(rig.check.judged.result).toBe('released');
  });
});

describe('the hold test', () => {
  it('ends by itself after a minute, and is nothing where somebody blasts meanwhile', () => {
    const rig = new CheckedRig();
    rig.throughTo('compressor');
    expect(rig.say({ kind: 'ready-hold', rig: 'rig-a', start: true, volume: 0.05 })).toContain('bring it to 50 psi');
    rig.run(2, { 'supply-pressure': 100 });
    expect(rig.say({ kind: 'ready-hold', rig: 'rig-a', start: true, volume: 0.05 })).toBeNull();
    expect(rig.say({ kind: 'ready-hold', rig: 'rig-a', start: true, volume: 0.05 })).toContain('running, started by Lee');
    rig.run(10, { 'nozzle-pressure': 92 });
    expect(rig.check.held.hold?.ended).toBe('disturbed');
    rig.run(2, { 'nozzle-pressure': 0 });
    rig.say({ kind: 'ready-hold', rig: 'rig-a', start: true, volume: 0.05 });
    rig.run(61, { 'supply-pressure': 70 });
    expect(rig.check.held.hold?.ended).toBe('held');
    expect(rig.sign('pressure')).toContain('leaks');
  });

  // 1 psi/s in 1 ft³ is 4 scfm (domain/air/leak.ts): 30 psi in 60 s in 2 ft³ is 4.
  const run = (to: number): HoldRun => ({ sinceMs: 0, by: 'Lee', volume: 2 * 0.3048 ** 3, from: 100, to, toMs: 60_000, ended: 'held' });
  it.each([
    [99.5, 'holds', 0.07],
    [92, 'unclear', 1.09],
    [70, 'leaks', 4.08],
  ])('100 psi to %d psi in a minute %s', (to, verdict, cfm) => {
    const judged = judgeHold(run(to));
    expect(judged?.verdict).toBe(verdict);
    expect(judged?.leak.value).toBeCloseTo(cfm, 1);
  });
});

describe('shutdown and unblocking', () => {
  it('go step by step, with every gauge at 0 before uncoupling, and undo what they touch', () => {
    const rig = new CheckedRig();
    rig.throughTo('metering');
    expect(rig.sign('end-hood')).toBe('first: End of blasting');
    rig.sign('end-blast');
    expect(rig.sign('end-hood')).toContain('nobody is logged under the hood: not yet, Ray');
    rig.say({ kind: 'hood-out', rig: 'rig-a', name: 'Ray' });
    rig.sign('end-hood');
    rig.sign('end-supply');
    expect(rig.open).toEqual(['compressor', 'pressure', 'air', 'dress']);
    expect(rig.sign('end-vent')).toContain('supply at 0: not so, 109.8 psi');
    rig.run(2, { 'supply-pressure': 0.4 });
    expect(rig.sign('end-vent')).toBeNull();
    expect(rig.sign('end-uncouple')).toBeNull();
    expect(rig.open).toEqual(['hoses', 'compressor', 'pressure', 'air', 'dress', 'handle', 'metering']);
    rig.say({ kind: 'ready-begin', rig: 'rig-a', sequence: 'shutdown' });
    expect(rig.state('end-blast')).toBe('open');
  });
});

it('a site’s own step stands where it says, has its own proof and stands in the way', () => {
  const rig = new CheckedRig(`${SITE_YAML}ready:
  - { id: scaffold-tag, title: Scaffold tag, do: Read today's tag., if-not: Nobody climbs., after: hoses, again: [moved], expires: 8h }
  - { id: suction, title: Containment, do: [Curtains closed., Fan on.], if-not: Close up., shows: { point: containment-suction, low: 5Pa } }
`);
  expect(rig.open).toEqual(AT_ONCE.flatMap((id) => (id === 'hoses' ? [id, 'scaffold-tag'] : id === 'abrasive' ? [id, 'suction'] : [id])));
  expect(rig.sign('scaffold-tag')).toBeNull();
  rig.run(2, { 'containment-suction': 2 });
  expect(rig.sign('suction')).toBe('Containment: Containment: not so, 2 Pa (at least 5)');
  rig.say({ kind: 'ready-again', rig: 'rig-a', event: 'moved' });
  expect(rig.state('scaffold-tag')).toBe('again');
});

it('a snapshot taken anywhere goes on as if it had not been taken', () => {
  const rig = new CheckedRig();
  rig.throughTo('air');
  const saved = JSON.parse(JSON.stringify(rig.site.evaluator.save())) as ReturnType<typeof rig.site.evaluator.save>;
  expect(SiteEvaluator.load(saved).readiness('rig-a', rig.atMs)).toEqual(rig.check);
});

it('the steps as data: each names only what there is', () => {
  const steps = stepsOf();
  const ids = steps.map(({ id }) => id);
  expect(new Set(ids).size).toBe(ids.length);
  for (const step of steps) {
    expect(SEQUENCES).toContain(step.sequence);
    for (const other of step.after) expect(ids.indexOf(other), `${step.id} after ${other}`).toBeLessThan(ids.indexOf(step.id));
    for (const words of [step.title, step.seen, step.ifNot, ...step.todo]) expect(words).toMatch(/\S/);
    expect(JSON.stringify(step)).not.toMatch(/\bsafe/i);
  }
  expect(BEFORE_IDS).toHaveLength(12);
});

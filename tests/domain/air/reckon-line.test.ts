import { describe, expect, it } from 'vitest';
import { nozzleMassFlow } from '../../../domain/air/nozzle-flow.ts';
import { computedNozzle, expectedNozzle, explainLoss } from '../../../domain/air/reckon-line.ts';
import { expectedNozzlePressure } from '../../../domain/points/computed/expected-nozzle-pressure.ts';
import { atmosphereAt, gauge } from '../../../domain/quantity/pressure.ts';

const PSI = 6894.757293168361;
const psi = (value: number) => gauge(value * PSI);
const rig = { elevation: 180, hose: { bore: 0.03175, length: 30.48 }, nozzle: { bore: 0.0111125 } };

describe('what the page reckons of a line', () => {
  it('expects at the nozzle what the server expects, with limits that longer hose puts farther apart', () => {
    const near = expectedNozzle(rig, psi(105));
    const far = expectedNozzle({ ...rig, hose: { bore: 0.03175, length: 60.96 } }, psi(105));
    if (!near || !far) throw new Error('nothing expected');
    expect(near.value).toBeCloseTo(expectedNozzlePressure({ ...rig, ratedFlow: null, intakeBearing: null }, psi(105)) as number, 3);
    expect(near.low).toBeLessThan(near.value);
    expect(far.high - far.low).toBeGreaterThan(near.high - near.low);
    expect(expectedNozzle({ ...rig, nozzle: null }, psi(105))).toBeUndefined();
    expect(expectedNozzle(rig, psi(0))).toBeUndefined();
  });

  it('computes the nozzle from the needle: the same at the same pressure, the surer the younger, and surer than without', () => {
    const pair = { machine: psi(105), nozzle: psi(94) };
    const width = (ageMs: number | null): number => {
      const found = computedNozzle(rig, psi(105), ageMs === null ? null : { ...pair, ageMs });
      if (!found) throw new Error('nothing computed');
      return found.high - found.low;
    };
    expect((computedNozzle(rig, psi(105), { ...pair, ageMs: 0 })?.value as number) / PSI).toBeCloseTo(94, 1);
    expect((computedNozzle(rig, psi(95), { ...pair, ageMs: 0 })?.value as number) / PSI).toBeLessThan(90);
    expect(width(4 * 3_600_000)).toBeGreaterThan(width(0));
    expect(width(4 * 3_600_000)).toBeLessThan(width(null));
    expect(computedNozzle({ ...rig, hose: null }, psi(105), null)).toBeUndefined();
  });

  it('names a restriction of the blast hose only where the supply side tells it from a worn nozzle', () => {
    const usual = expectedNozzle(rig, psi(105))?.value as number;
    const restricted = gauge(usual - 18 * PSI);
    const flow = (at: number) => nozzleMassFlow({ bore: rig.nozzle.bore, pressure: gauge(at), atmosphere: atmosphereAt(rig.elevation) });
    // Less air flows, so that the supply side loses less: by the square, nearly.
    const supplyLoss = 12 * PSI * (flow(restricted) / flow(usual)) ** 1.9;
    const then = { residual: 0, supplyLoss: 12 * PSI };
    expect(explainLoss(rig, { compressor: gauge(105 * PSI + supplyLoss), machine: psi(105), nozzle: restricted }, then)).toMatchObject({ verdict: 'likely', explanation: { cause: 'restriction', part: 'machine-and-blast-hose' } });
    expect(explainLoss(rig, { compressor: null, machine: psi(105), nozzle: restricted }, null)).toMatchObject({ verdict: 'cant-tell' });
    expect(explainLoss(rig, { compressor: psi(117), machine: psi(105), nozzle: gauge(usual) }, then)).toEqual({ verdict: 'as-expected' });
  });
});

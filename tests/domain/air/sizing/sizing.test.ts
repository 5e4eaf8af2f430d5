import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { answer, CALCULATIONS } from '../../../../cli/calc/calc-command.ts';
import { changed, costsOf, curveOf } from '../../../../domain/air/sizing/costs.ts';
import { SIZING_BOUNDS, SIZING_FIELDS, USUAL_SET_UP, type SetUp, readSetUp } from '../../../../domain/air/sizing/set-up.ts';
import { ratedMassFlow, sizeLine } from '../../../../domain/air/sizing/size-line.ts';

const PSI = 6894.757293168361;

/** Asks the command line, as a person would. */
function calc(name: string, written: Record<string, string>): any {
  const calculation = CALCULATIONS.find((one) => one.name === name);
  if (!calculation) throw new Error(`no calculation ${name}`);
  return answer(calculation, written);
}

const around = ({ elevation, cooledTo }: SetUp): Record<string, string> => ({ elevation: `${elevation}m`, temperature: `${cooledTo}K` });

const SET_UPS: readonly (readonly [string, SetUp])[] = [
  ['the usual one', USUAL_SET_UP],
  ['high and cold, two rigs', { ...USUAL_SET_UP, elevation: 1600, temperature: 270, cooledTo: 283, rigs: 2, ratedFlow: 0.6 }],
  ['small compressor, big nozzle: it sags', { ...USUAL_SET_UP, ratedFlow: 0.12, nozzleBore: 0.0127 }],
];

describe.each(SET_UPS)('%s comes out as on the command line', (_, setUp) => {
  const sized = sizeLine(setUp);
  const [compressor, separator, machine, nozzle] = sized.places.map(({ pressure }) => pressure);

  it('nozzle pressure and air, as `calc line` from the blast machine on', () => {
    const line = calc('line', { ...around(setUp), supply: `${machine}Pa`, 'hose-bore': `${setUp.blastBore}m`, 'hose-length': `${setUp.blastLength}m`, 'nozzle-bore': `${setUp.nozzleBore}m` });
    expect(nozzle! / PSI).toBeCloseTo(line.value, 4);
    expect(sized.nozzle.value).toBe(nozzle);
    const flow = calc('nozzle-flow', { ...around(setUp), bore: `${setUp.nozzleBore}m`, pressure: `${nozzle}Pa`, in: 'kg/s' });
    expect(sized.nozzleAir).toBeCloseTo(flow.value, 6);
    expect(line.flow.value).toBeCloseTo(calc('nozzle-flow', { ...around(setUp), bore: `${setUp.nozzleBore}m`, pressure: `${nozzle}Pa` }).value, 2);
  });

  it('supply hose, as `calc hose-loss`', () => {
    const loss = calc('hose-loss', { ...around(setUp), bore: `${setUp.supplyBore}m`, length: `${setUp.supplyLength}m`, flow: `${sized.nozzleAir}kg/s`, pressure: `${compressor}Pa`, in: 'Pa' });
    expect(compressor! - separator!).toBeCloseTo(loss.value, 0);
  });

  it('load, as `calc compressor-load` of what is drawn at full pressure', () => {
    const full = sizeLine({ ...setUp, ratedFlow: SIZING_BOUNDS.ratedFlow.high * 3 });
    const load = calc('compressor-load', {
      ...around(setUp), 'rated-flow': `${ratedMassFlow(setUp)}kg/s`, 'nozzle-bore': `${setUp.nozzleBore}m`, pressure: `${full.nozzle.value}Pa`, rigs: String(setUp.rigs), 'breathing-flow': `${setUp.breathingAir * setUp.rigs}m3/s`, in: '1',
    });
    expect(sized.load).toBeCloseTo(load.value, 5);
    expect(sized.sags).toBe(sized.load > 1);
    expect(sized.hasAdvisedReserve).toBe(load.hasAdvisedReserve);
  });

  it('water, as `calc condensate`; work, as `calc production`', () => {
    const water = calc('condensate', { elevation: `${setUp.elevation}m`, temperature: `${setUp.temperature}K`, humidity: String(setUp.humidity), flow: `${sized.air}kg/s`, pressure: `${setUp.pressure}Pa`, 'cooled-to': `${setUp.cooledTo}K`, in: 'kg/s' });
    expect(sized.water).toBeCloseTo(water.value, 9);
    expect(sized.work).toBeCloseTo(calc('production', { pressure: `${nozzle}Pa`, in: '1' }).value, 9);
  });
});

it('the interval is `calc line`’s where nothing stands before the blast machine', () => {
  const setUp: SetUp = { ...USUAL_SET_UP, supplyLength: 0, separatorLoss: 0 };
  const { interval95 } = calc('line', { ...around(setUp), supply: `${setUp.pressure}Pa`, 'hose-bore': `${setUp.blastBore}m`, 'hose-length': `${setUp.blastLength}m`, 'nozzle-bore': `${setUp.nozzleBore}m` });
  const { nozzle } = sizeLine(setUp);
  expect(nozzle.low / PSI).toBeCloseTo(interval95.low, 3);
  expect(nozzle.high / PSI).toBeCloseTo(interval95.high, 3);
});

describe('what a change costs', () => {
  it('a worn nozzle takes air and pressure, a longer hose pressure alone, one more rig the load', () => {
    const before = sizeLine(USUAL_SET_UP);
    const [worn, longer, rig] = costsOf(USUAL_SET_UP, before);
    expect(worn!.pressure).toBeGreaterThan(0);
    expect(worn!.air).toBeGreaterThan(0.2 * before.air);
    expect(longer!.pressure).toBeGreaterThan(0);
    expect(longer!.air).toBeLessThan(0);
    // Each rig has its own line: with air enough for both, the first loses nothing.
    expect(rig!.pressure).toBeCloseTo(0, 3);
    expect(rig!.after.load).toBeCloseTo(2 * before.load, 6);
    expect(costsOf({ ...USUAL_SET_UP, ratedFlow: 0.15 }, sizeLine({ ...USUAL_SET_UP, ratedFlow: 0.15 }))[2]!.pressure).toBeGreaterThan(20 * PSI);
    expect(changed(USUAL_SET_UP, 'worn').nozzleBore).toBeCloseTo(0.0111125, 9);
  });

  it('the curve stands on the point it is drawn through', () => {
    const { at, nozzle, load } = curveOf(USUAL_SET_UP, 'nozzleBore');
    const middle = 12;
    const there = sizeLine({ ...USUAL_SET_UP, nozzleBore: at[middle]! });
    expect(nozzle[middle]).toBeCloseTo(there.nozzle.value, 3);
    expect(load[middle]).toBeCloseTo(there.load, 9);
    expect(load).toEqual([...load].sort((a, b) => a! - b!));
  });
});

it('any set-up within its bounds can be sized, and a bigger nozzle never loads the compressor less', () => {
  const any = fc.record(Object.fromEntries(SIZING_FIELDS.map(({ id }) => [id, id === 'rigs' ? fc.integer({ min: 1, max: 4 }) : fc.double({ min: SIZING_BOUNDS[id].low, max: SIZING_BOUNDS[id].high, noNaN: true })]))) as unknown as fc.Arbitrary<SetUp>;
  fc.assert(
    fc.property(any, (setUp) => {
      // Breathing air alone beyond the compressor is refused: nothing is left to blast with.
      fc.pre(setUp.breathingAir * setUp.rigs * 1.5 < setUp.ratedFlow);
      const sized = sizeLine(setUp);
      expect(sized.nozzle.low).toBeLessThanOrEqual(sized.nozzle.value);
      expect(sized.nozzle.value).toBeLessThanOrEqual(setUp.pressure);
      const pressures = sized.places.map(({ pressure }) => pressure);
      expect(pressures).toEqual([...pressures].sort((a, b) => b - a));
      expect(sized.load).toBeLessThanOrEqual(sizeLine(changed(setUp, 'worn')).load * (1 + 1e-9));
    }),
    { numRuns: 60 },
  );
});

it('a kept set-up that is damaged is read as far as it goes', () => {
  expect(readSetUp(null)).toEqual(USUAL_SET_UP);
  expect(readSetUp({ nozzleBore: 0.0127, rigs: 2.5, pressure: 'much', humidity: 7 })).toEqual({ ...USUAL_SET_UP, nozzleBore: 0.0127 });
});

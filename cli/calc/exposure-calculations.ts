import { ACTIVITIES, ASSUMED, type Activity, carboxyhaemoglobin, carboxyhaemoglobinAtRest } from '../../domain/exposure/carboxyhaemoglobin.ts';
import { type Exposure, coAverage } from '../../domain/exposure/co-average.ts';
import { parseQuantity } from '../../domain/quantity/parse-quantity.ts';
import type { Calculation, Given } from './calculation.ts';

/** Reads `150ppm:2h,gap:30min,50ppm:4h`. @throws RangeError that says which sample can't be read. */
function readSamples(text: string): Exposure[] {
  return text.split(',').map((sample) => {
    const [concentration = '', duration, ...rest] = sample.trim().split(':');
    if (duration === undefined || rest.length > 0) throw new RangeError(`--samples: ${JSON.stringify(sample)} is not a concentration, a colon and a duration, as 150ppm:2h`);
    try {
      const seconds = parseQuantity(duration, 'time').si;
      if (!(seconds > 0)) throw new RangeError('the duration must be above 0');
      return { concentration: concentration === 'gap' ? null : parseQuantity(concentration, 'fraction').si, duration: seconds };
    } catch (error) {
      throw new RangeError(`--samples: ${JSON.stringify(sample)}: ${error instanceof Error ? error.message : String(error)}`);
    }
  });
}

function readActivity(text: string): Activity {
  const names = Object.keys(ACTIVITIES) as Activity[];
  const found = names.find((name) => name === text);
  if (!found) throw new RangeError(`--activity must be one of ${names.join(', ')}, found ${JSON.stringify(text)}`);
  return found;
}

const inPpm = (fraction: number): { value: number; unit: string } => ({ value: fraction * 1e6, unit: '[ppm]' });

export const EXPOSURE_CALCULATIONS: readonly Calculation[] = [
  {
    name: 'co-average',
    about: 'time-weighted average of carbon monoxide; the divisor is --over, whatever the samples add up to',
    example: '--samples 150ppm:2h,75ppm:2h,50ppm:4h',
    inputs: [
      { flag: 'samples', kind: 'text', value: '<list>', about: 'concentration:duration, by commas; gap:30min where nothing was measured' },
      { flag: 'over', kind: 'time', value: '<time>', about: 'divisor', assumed: '8h', sign: 'positive' },
    ],
    unit: '[ppm]',
    answers: [{ dimension: 'fraction' }],
    atmosphere: false,
    compute: (given) => {
      const found = coAverage(readSamples(given.text('samples')), given.number('over'));
      const gaps = found.gap > 0 ? { atLeast: inPpm(found.atLeast), atMost: inPpm(found.atMost), gap: { value: found.gap, unit: 's' } } : {};
      return {
        si: found.average,
        method: 'sum of concentration × time, over the stated time; a gap counts as the mean of what was measured, with its limits beside it',
        source: '29 CFR 1910.1000(d)(1)(i)',
        more: { measured: { value: found.measured, unit: 's' }, ...gaps },
      };
    },
  },
  {
    name: 'cohb',
    about: 'carboxyhaemoglobin after breathing carbon monoxide: an estimate, not a blood test',
    example: '--concentration 50ppm --time 8h --activity light',
    inputs: [
      { flag: 'concentration', kind: 'fraction', value: '<concentration>', about: 'breathed, e.g. 50ppm', sign: 'not-negative' },
      { flag: 'time', kind: 'time', value: '<time>', about: 'breathed', sign: 'not-negative' },
      { flag: 'activity', kind: 'text', value: '<activity>', about: 'rest, light or heavy' },
      { flag: 'initial', kind: 'fraction', value: '<share>', about: 'carboxyhaemoglobin at the start', assumed: `${ASSUMED.initial * 100}%`, sign: 'not-negative' },
    ],
    unit: '%',
    answers: [{ dimension: 'fraction' }],
    atmosphere: true,
    compute: computeCohb,
  },
];

function computeCohb(given: Given) {
  const activity = readActivity(given.text('activity'));
  const at = { concentration: given.number('concentration'), activity, atmosphere: given.atmosphere };
  return {
    si: carboxyhaemoglobin({ ...at, time: given.number('time'), initial: given.number('initial') }),
    method: 'nonlinear Coburn–Forster–Kane equation, inhaled pressure on the atmosphere less 47 mmHg of water vapour, solved exactly for constant exposure',
    source: 'Coburn, Forster and Kane, J. Clin. Invest. 44 (1965); activity: NIOSH 72-11000, from memory',
    more: {
      inTheEnd: { value: carboxyhaemoglobinAtRest(at) * 100, unit: '%' },
      assumes: {
        person: 'an average adult; not a blood test',
        diffusion: { value: ACTIVITIES[activity].diffusion, unit: 'mL/min/mm[Hg]' },
        ventilation: { value: ACTIVITIES[activity].ventilation, unit: 'mL/min' },
        bloodVolume: { value: ASSUMED.bloodVolume, unit: 'mL' },
        haemoglobinCapacity: { value: ASSUMED.capacity, unit: 'mL/mL' },
        production: { value: ASSUMED.production, unit: 'mL/min' },
        affinity: ASSUMED.affinity,
      },
    },
  };
}

import { ASSUMED, type Activity, carboxyhaemoglobin, carboxyhaemoglobinAtRest } from '../../../domain/exposure/carboxyhaemoglobin.ts';
import { coAverage } from '../../../domain/exposure/co-average.ts';
import type { Band, Miss, Row } from './row.ts';

const HOUR = 3600;
const RULE = '29 CFR 1910.1000(d)(1)(i)';

export const CO_AVERAGES: readonly Row[] = [
  {
    quantity: '8 h average: 2 h at 150, 2 h at 75, 4 h at 50 ppm',
    ours: () => 1e6 * coAverage([{ concentration: 150e-6, duration: 2 * HOUR }, { concentration: 75e-6, duration: 2 * HOUR }, { concentration: 50e-6, duration: 4 * HOUR }]).average,
    published: 81.25,
    unit: 'ppm',
    within: { absolute: 1e-9 },
    source: `${RULE}, worked example`,
  },
  { quantity: '8 h average: 10 h at 40 ppm', ours: () => 1e6 * coAverage([{ concentration: 40e-6, duration: 10 * HOUR }]).average, published: 50, unit: 'ppm', within: { absolute: 1e-9 }, source: `${RULE}, reckoned` },
];

export function percent(ppm: number, minutes: number, activity: Activity, initial?: number): number {
  return 100 * carboxyhaemoglobin({ concentration: ppm * 1e-6, time: minutes * 60, activity, ...(initial === undefined ? {} : { initial }) });
}

const ACTIVITY: readonly Activity[] = ['rest', 'light', 'heavy'];
const STEWART = 'Stewart (1975), seen in a secondary source';
const WHO_TABLE = 'WHO Environmental Health Criteria 213 and Air Quality Guidelines for Europe, from memory';
const NONLINEAR = 'integrated independently (Runge–Kutta), oxygen held at 100 mmHg; regression, not evidence';

/** ppm, minutes, then %COHb at rest, light and heavy work. */
type Line = readonly [number, number, readonly [number, number, number]];
const who: readonly Line[] = [[100, 15, [1.2, 2.0, 2.8]], [50, 30, [1.1, 1.9, 2.6]], [25, 60, [1.1, 1.7, 2.2]], [10, 480, [1.5, 1.7, 1.7]]];
const regression: readonly Line[] = [
  [100, 15, [1.31, 2.01, 2.71]],
  [50, 30, [1.28, 1.91, 2.49]],
  [25, 60, [1.22, 1.71, 2.12]],
  [10, 480, [1.47, 1.58, 1.58]],
  [35, 480, [4.12, 5.05, 5.19]],
  [50, 480, [5.69, 7.04, 7.23]],
  [200, 10, [1.51, 2.5, 3.49]],
  [200, 60, [5.01, 9.72, 13.51]],
];
const perActivity = (lines: readonly Line[], absolute: number, source: string): Row[] =>
  lines.flatMap(([ppm, minutes, values]) => values.map((published, at): Row => ({ quantity: `${ppm} ppm, ${minutes} min, ${ACTIVITY[at]}`, ours: () => percent(ppm, minutes, ACTIVITY[at] ?? 'rest'), published, unit: '%', within: { absolute }, source })));
const inTheEnd = (ppm: number): number => 100 * carboxyhaemoglobinAtRest({ concentration: ppm * 1e-6, activity: 'rest' });
const aegl: readonly [number, number][] = [[420, 10], [150, 30], [83, 60], [33, 240], [27, 480]];

export const COHB: readonly Row[] = [
  { quantity: 'steady state, 12.0 ppm, rest', ours: () => inTheEnd(12), published: 2, unit: '%', within: { absolute: 0.15 }, source: 'public implementation of the nonlinear equation, seen in a secondary source' },
  { quantity: 'steady state, 32.5 ppm, rest', ours: () => inTheEnd(32.5), published: 5, unit: '%', within: { absolute: 0.15 }, source: 'public implementation of the nonlinear equation, seen in a secondary source' },
  { quantity: '70 ppm, 240 min, heavy', ours: () => percent(70, 240, 'heavy'), published: 10, unit: '%', within: { absolute: 0.8 }, source: 'UL 2034 alarm times, seen in a secondary source; 10 % from memory' },
  { quantity: '35 ppm, 480 min, light', ours: () => percent(35, 480, 'light'), published: 5, unit: '%', within: { absolute: 0.7 }, source: 'NIOSH 72-11000 (1972), from memory' },
  ...perActivity(who, 0.25, WHO_TABLE),
  ...aegl.map(([ppm, minutes]): Row => ({ quantity: `${ppm} ppm, ${minutes} min, light`, ours: () => percent(ppm, minutes, 'light'), published: 4, unit: '%', within: { absolute: 0.7 }, source: 'NRC Acute Exposure Guideline Levels vol. 8 (2010), AEGL-2, from memory' })),
  ...perActivity(regression, 0.05, NONLINEAR),
];

/** Minutes in room air until half of 10 % is gone. */
function halfLife(activity: Activity): number {
  let minutes = 0;
  while (percent(0, minutes, activity, 0.1) > 5) minutes += 1;
  return minutes;
}

export const COHB_BANDS: readonly Band[] = [
  { quantity: '200 ppm, 10 min, rest', ours: () => percent(200, 10, 'rest'), low: 1, high: 2, unit: '%', source: STEWART },
  { quantity: '200 ppm, 30 min, rest', ours: () => percent(200, 30, 'rest'), low: 2.5, high: 4.5, unit: '%', source: `${STEWART}: 3 to 4, ±0.5` },
  { quantity: '200 ppm, 60 min, rest', ours: () => percent(200, 60, 'rest'), low: 4.3, high: 6.7, unit: '%', source: `${STEWART}: 5 to 6, ±0.7` },
  ...([[90, 15], [50, 30], [25, 60], [10, 480]] as const).map(([ppm, minutes]): Band => ({ quantity: `${ppm} ppm, ${minutes} min, light`, ours: () => percent(ppm, minutes, 'light'), low: 0, high: 2.5, unit: '%', source: 'WHO Air Quality Guidelines for Europe, 2nd ed. (2000)' })),
  { quantity: 'before any exposure, as assumed', ours: () => 100 * ASSUMED.initial, low: 0.5, high: 0.8, unit: '%', source: 'National Research Council (2010): 0.5 to 0.8' },
  { quantity: 'half-life of 10 % in room air, rest', ours: () => halfLife('rest'), low: 240, high: 320, unit: 'min', source: 'MIOSHA memo (2014): 320; Weaver (2000), seen in a secondary source' },
];

const WHY_UL = 'those times rest on the older linear form, which overstates (Tikuisis and others, AIHA J. 48 (1987) 208, found 1.28 against 1.04 for the full equation)';
export const EXPOSURE_MISSES: readonly Miss[] = [
  ...([[150, 50], [400, 15]] as const).map(([ppm, minutes]): Miss => ({ quantity: `${ppm} ppm, ${minutes} min, heavy`, ours: () => percent(ppm, minutes, 'heavy'), published: 10, unit: '%', within: { absolute: 1.2 }, source: 'UL 2034 alarm times, seen in a secondary source; 10 % from memory', why: WHY_UL })),
  {
    quantity: 'before any exposure, as the equation settles at rest',
    ours: () => inTheEnd(0),
    published: 0.5,
    unit: '%',
    within: { absolute: 0.3 },
    source: 'WHO Air Quality Guidelines for Europe, 2nd ed. (2000): 0.4 to 0.7; National Research Council (2010): 0.5 to 0.8',
    why: 'what the body makes alone settles at 0.23 % with these constants; measured people also breathe a little from the air, so 0.75 % is assumed at the start',
  },
];

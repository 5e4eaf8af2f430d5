import { abrasiveLoading } from '../../../domain/air/abrasive-loading.ts';
import { MOISTURE_TABLE_AIR_DENSITY, condensate } from '../../../domain/air/condensate.ts';
import { hoseLoss } from '../../../domain/air/hose-loss.ts';
import { leak } from '../../../domain/air/leak.ts';
import { blastLine, solveLine } from '../../../domain/air/line.ts';
import { CRITICAL_RATIO, nozzleMassFlow } from '../../../domain/air/nozzle-flow.ts';
import { abrasiveRate, timeToEmptyPot } from '../../../domain/air/pot-endurance.ts';
import { productionFactor } from '../../../domain/air/production.ts';
import { massFlowOf, standardVolumeFlow } from '../../../domain/air/standard-air.ts';
import { STANDARD_ATMOSPHERE, gauge } from '../../../domain/quantity/pressure.ts';
import { CFM, FOOT, INCH, type Miss, POUND, PSI, type Row, fromFahrenheit } from './row.ts';

const SEA = STANDARD_ATMOSPHERE;
const RECKONED = 'reckoned independently from the same formulas; regression, not evidence';
const TRADE = 'trade chart, seen in a secondary source';
const FINISHING = 'Surface Finishing Guidebook 2011-12 p. 50';

export function nozzleCfm(bore: number, psi: number, coefficient?: number): number {
  return standardVolumeFlow(nozzleMassFlow({ bore: bore * INCH, pressure: gauge(psi * PSI), atmosphere: SEA, ...(coefficient === undefined ? {} : { coefficient }) })) / CFM;
}

export const BORES: readonly [string, number][] = [['1/8', 1 / 8], ['3/16', 3 / 16], ['1/4', 1 / 4], ['5/16', 5 / 16], ['3/8', 3 / 8], ['7/16', 7 / 16], ['1/2', 1 / 2], ['5/8', 5 / 8]];

/** psi, then cfm per bore; null where the printed cell is blank, or off its own row's and column's trend. */
const FINISHING_CELLS: readonly [number, readonly (number | null)[]][] = [
  [20, [6, null, 27, 42, 55]],
  [30, [8, 18, 32, 50, 73]],
  [40, [10, 22, 41, 64, 91]],
  [50, [null, 26, 49, 76, 109]],
  [60, [14, 30, 55, 88, 126]],
  [80, [17, 38, 68, 113, 161]],
  [100, [20, 45, 81, 137, 196]],
  [120, [25, 55, 97, 152, 220]],
];
const TRADE_CELLS: typeof FINISHING_CELLS = [
  [50, [11, 26, 47, 77, 108, 147, 195]],
  [60, [13, 30, 54, 89, 126, 170, 224]],
  [70, [15, 33, 61, 101, 143, 194, 252]],
  [80, [17, 38, 68, 113, 161, 217, 280]],
  [90, [18.5, 41, 74, 126, 173, 240, 309]],
  [100, [20, 45, 81, 137, 196, 254, 338]],
  [125, [25, 55, 98, 168, 237, 314, 409]],
  [150, [30, 62, 118, 202, 284, 377, 491]],
];

function cells(table: typeof FINISHING_CELLS, source: string): Row[] {
  return table.flatMap(([psi, row]) =>
    row.flatMap((published, at): Row[] => {
      const [name, bore] = BORES[at] ?? ['', 0];
      return published === null ? [] : [{ quantity: `nozzle ${name} in, ${psi} psi`, ours: () => nozzleCfm(bore, psi), published, unit: 'cfm', within: { relative: 0.1 }, source }];
    }),
  );
}

export const NOZZLE_CHARTS: readonly Row[] = [...cells(FINISHING_CELLS, FINISHING), ...cells(TRADE_CELLS, TRADE)];

/** Through 1 in² at 1 °R and 1 psia, lb/s. */
const fliegner = (): number => (nozzleMassFlow({ bore: INCH * Math.sqrt(4 / Math.PI), pressure: gauge(100 * PSI - SEA), atmosphere: SEA, temperature: 288.15, coefficient: 1 }) / POUND / 100) * Math.sqrt(288.15 * 1.8);
const ideal: readonly number[] = [26.1, 58.7, 104.3, 162.9, 234.6, 319.3, 417.1, 651.7];

export const NOZZLE_THEORY: readonly Row[] = [
  { quantity: 'critical pressure ratio', ours: () => CRITICAL_RATIO, published: 0.5283, unit: '1', within: { absolute: 1e-4 }, source: 'textbook gas dynamics, from memory' },
  {
    quantity: 'choked flow, mass flow × √T / (area × pressure)',
    ours: () => (nozzleMassFlow({ bore: Math.sqrt(4 / Math.PI), pressure: gauge(1e6 - SEA), atmosphere: SEA, temperature: 288.15, coefficient: 1 }) * Math.sqrt(288.15)) / 1e6,
    published: 0.04041,
    unit: 'kg·√K/(N·s)',
    within: { relative: 0.001 },
    source: RECKONED,
  },
  { quantity: "Fliegner's constant", ours: fliegner, published: 0.532, unit: 'lb·√°R/(lbf·s)', within: { relative: 0.001 }, source: 'textbook gas dynamics, from memory' },
  { quantity: 'choked above, at 14.7 psia', ours: () => 14.7 / CRITICAL_RATIO - 14.7, published: 13.1, unit: 'psi', within: { absolute: 0.1 }, source: RECKONED },
  ...ideal.map((published, at): Row => {
    const [name, bore] = BORES[at] ?? ['', 0];
    return { quantity: `ideal nozzle ${name} in, 100 psi`, ours: () => nozzleCfm(bore, 100, 1), published, unit: 'cfm', within: { relative: 0.003 }, source: RECKONED };
  }),
  { quantity: 'area, 7/16 in over 3/8 in', ours: () => nozzleCfm(7 / 16, 100) / nozzleCfm(3 / 8, 100), published: 1.361, unit: '1', within: { absolute: 0.001 }, source: RECKONED },
];

const abrasive: readonly [string, number, readonly number[]][] = [['1/4', 1 / 4, [408, 494, 608]], ['5/16', 5 / 16, [672, 812, 982]], ['3/8', 3 / 8, [960, 1152, 1393]], ['7/16', 7 / 16, [1312, 1584, 1931]], ['1/2', 1 / 2, [1680, 2024, 2459]]];
const middleRate = (bore: number, psi: number): number => {
  const { low, high } = abrasiveRate(nozzleMassFlow({ bore: bore * INCH, pressure: gauge(psi * PSI), atmosphere: SEA }));
  return ((low + high) / 2 / POUND) * 3600;
};

export const ABRASIVE: readonly Row[] = [
  ...abrasive.flatMap(([name, bore, row]) =>
    row.map((published, at): Row => ({ quantity: `abrasive, nozzle ${name} in, ${[80, 100, 125][at]} psi`, ours: () => middleRate(bore, [80, 100, 125][at] ?? 0), published, unit: 'lb/h', within: { relative: 0.12 }, source: TRADE })),
  ),
  { quantity: '650 lb at 1584 lb/h', ours: () => timeToEmptyPot(650, { low: 1584 / 3600, high: 1584 / 3600 }, 0).low / 60, published: 25, unit: 'min', within: { absolute: 0.5 }, source: 'common practice, no source' },
];

function clean(bore: number, length: number, cfm: number, psi: number, roughness?: number): number {
  return hoseLoss({ bore: bore * INCH, length: length * FOOT, ...(roughness === undefined ? {} : { roughness }) }, { inlet: gauge(psi * PSI), atmosphere: SEA }, massFlowOf(cfm * CFM)) / PSI;
}

const HOSES: readonly [string, number][] = [['3/4', 0.75], ['1', 1], ['1-1/4', 1.25], ['1-1/2', 1.5]];
const hoseRows = (published: readonly number[], what: string, roughness: number | undefined, within: Row['within'], source: string): Row[] =>
  HOSES.map(([name, bore], at): Row => ({ quantity: `${what} ${name} in, 50 ft, 150 cfm, 100 psi`, ours: () => clean(bore, 50, 150, 100, roughness), published: published[at] ?? NaN, unit: 'psi', within: at === 3 && roughness === undefined && 'relative' in within ? { absolute: 0.15 } : within, source }));

export const HOSE: readonly Row[] = [
  ...hoseRows([11.1, 2.4, 0.7, 0.2], 'hose', undefined, { relative: 0.35 }, TRADE),
  { quantity: 'hose 3/4 in, 50 ft, 30 cfm, 90 psi', ours: () => clean(0.75, 50, 30, 90), published: 0.4, unit: 'psi', within: { relative: 0.5 }, source: 'engineering table of air hose friction' },
  { quantity: 'hose 3/4 in, 10 ft, 30 cfm, 90 psi', ours: () => clean(0.75, 10, 30, 90), published: 0.08, unit: 'psi', within: { relative: 0.5 }, source: 'engineering table of air hose friction' },
  ...hoseRows([11.55, 2.53, 0.81, 0.32], 'Darcy, 0.0006 in rough,', 0.0006 * INCH, { relative: 0.0125 }, RECKONED),
  ...hoseRows([8.29, 2.0, 0.68, 0.28], 'Darcy, smooth,', 0, { relative: 0.01 }, RECKONED),
];

const blasted = (bore: number): number => {
  const line = blastLine({ supply: gauge(100 * PSI), atmosphere: SEA, hose: { bore: bore * INCH, length: 50 * FOOT, loading: abrasiveLoading() }, nozzle: { bore: (7 / 16) * INCH } });
  return 100 - (solveLine(line).outlets[0]?.nozzlePressure ?? NaN) / PSI;
};
/** Illustration: the page does not name its nozzle, 7/16 in is assumed here. */
export const BLAST_HOSE: readonly Row[] = ([['1', 1, 16], ['1-1/4', 1.25, 7], ['1-1/2', 1.5, 2]] as const).map(([name, bore, published]): Row => ({
  quantity: `blast hose ${name} in, 50 ft, with abrasive, 7/16 in nozzle assumed`,
  ours: () => blasted(bore),
  published,
  unit: 'psi',
  within: { relative: 0.4 },
  source: 'trade page, seen in a secondary source; illustration',
}));

/** US gallons of water per 1000 ft³ of free air. */
const gallons = (kg: number): number => kg / 1000 / (231 * INCH ** 3);
const freeAir = 1000 * FOOT ** 3 * MOISTURE_TABLE_AIR_DENSITY;
const water = (rh: number, cooledTo: number, airFlow: number) => condensate({ airFlow, temperature: fromFahrenheit(80), relativeHumidity: rh, atmosphere: SEA, line: gauge(100 * PSI), cooledTo: fromFahrenheit(cooledTo) });

export const MOISTURE: readonly Row[] = [
  { quantity: 'water drawn in, 80 °F, 75 %, per 1000 ft³', ours: () => gallons(water(0.75, 100, freeAir).drawnIn), published: 0.1521, unit: 'gal', within: { relative: 0.01 }, source: 'Compressed Air & Gas Institute Handbook table 3.3, seen in a secondary source' },
  { quantity: 'water held, 100 °F, 100 psi, per 1000 ft³', ours: () => gallons(water(0.75, 100, freeAir).held), published: 0.0478, unit: 'gal', within: { relative: 0.01 }, source: 'Compressed Air & Gas Institute Handbook table 3.4, seen in a secondary source' },
  { quantity: 'water separated, the two above, 500 cfm', ours: () => gallons(water(0.75, 100, (500 * freeAir) / 1000 / 60).separated * 3600), published: 3.13, unit: 'gal/h', within: { relative: 0.01 }, source: 'the two above' },
];

export const RULES: readonly Row[] = [
  { quantity: 'production at 90 psi', ours: () => 100 * productionFactor(gauge(90 * PSI), gauge(100 * PSI)), published: 85, unit: '%', within: { absolute: 1e-9 }, source: 'common trade rule, seen in a secondary source' },
  { quantity: 'production lost with 2.4 psi', ours: () => 100 - 100 * productionFactor(gauge(97.6 * PSI), gauge(100 * PSI)), published: 3.6, unit: '%', within: { absolute: 0.06 }, source: TRADE },
  { quantity: 'production lost with 11.1 psi', ours: () => 100 - 100 * productionFactor(gauge(88.9 * PSI), gauge(100 * PSI)), published: 16.6, unit: '%', within: { absolute: 0.06 }, source: TRADE },
  { quantity: 'leak, 1 psi/s from 1 ft³', ours: () => standardVolumeFlow(leak({ volume: FOOT ** 3, from: gauge(100 * PSI), to: gauge(70 * PSI), time: 30 }).value) / CFM, published: 4, unit: 'cfm', within: { relative: 0.03 }, source: 'common practice, no source' },
];

export const AIR_MISSES: readonly Miss[] = [
  {
    quantity: 'flow, nozzle worn from 3/8 in to 7/16 in, 100 psi',
    ours: () => nozzleCfm(7 / 16, 100) / nozzleCfm(3 / 8, 100),
    published: 1.296,
    unit: '1',
    within: { relative: 0.06 },
    source: TRADE,
    why: 'flow goes with area, ×1.361; the chart’s 5/16 and 3/8 in columns run 5 % high beside its own 7/16 in column',
  },
  ...HOSES.map(
    ([name, bore], at): Miss => ({
      quantity: `Harris formula, hose ${name} in, 50 ft, 150 cfm, 100 psi`,
      ours: () => clean(bore, 50, 150, 100),
      published: [18.9, 4.1, 1.25, 0.48][at] ?? NaN,
      unit: 'psi',
      within: { relative: 0.45 },
      source: 'Harris formula, engineering reference',
      why: 'a formula for rough pipe: it overstates rubber hose about 1.6 times, by the hose chart above',
    }),
  ),
];

import { atmosphericDewPoint, pressureDewPoint } from '../../../domain/air/line-moisture.ts';
import { density, dewPoint, dewPointOf, humidityRatio, humidityRatioFromWetBulb, humidityRatioOf, saturationPressure, supercooledDewPointOf, wetBulb } from '../../../domain/climate/humid-air.ts';
import { surfaceHumidity } from '../../../domain/climate/surface-humidity.ts';
import { STANDARD_ATMOSPHERE, absolute, atmosphereAt, gauge } from '../../../domain/quantity/pressure.ts';
import { type Band, type Miss, PSI, type Row, celsius, fromCelsius, fromFahrenheit } from './row.ts';

const T3 = 'ASHRAE Fundamentals (2017) ch. 1 table 3';
const T2 = 'ASHRAE Fundamentals (2017) ch. 1 table 2';
const LIBRARY = 'worked values of a public psychrometric test suite after ASHRAE Fundamentals (2017) ch. 1';
const RECKONED = 'reckoned independently from the same formulas; regression, not evidence';
const SEA = STANDARD_ATMOSPHERE;
const AT_500 = absolute(95461);
const SEVEN_BAR = gauge(7e5);
const HUNDRED_PSI = gauge(100 * PSI);

const ice: [number, number, { absolute: number } | { relative: number }][] = [
  [-60, 1.08, { absolute: 0.01 }],
  [-20, 103.24, { relative: 300e-6 }],
  [-5, 401.74, { relative: 300e-6 }],
];
const water: [number, number][] = [[5, 872.6], [25, 3169.7], [50, 12351.3], [100, 101418.0]];
const imperial: [number, number][] = [[-4, 0.014974], [23, 0.058268], [41, 0.12656], [77, 0.45973], [122, 1.7914], [212, 14.7094]];

export const SATURATION: readonly Row[] = [
  ...ice.map(([t, published, within]): Row => ({ quantity: `saturation over ice, ${t} °C`, ours: () => saturationPressure(fromCelsius(t)), published, unit: 'Pa', within, source: T3 })),
  ...water.map(([t, published]): Row => ({ quantity: `saturation over water, ${t} °C`, ours: () => saturationPressure(fromCelsius(t)), published, unit: 'Pa', within: { relative: 300e-6 }, source: T3 })),
  ...imperial.map(([t, published]): Row => ({ quantity: `saturation, ${t} °F`, ours: () => saturationPressure(fromFahrenheit(t)) / PSI, published, unit: 'psia', within: { relative: 300e-6 }, source: `${T3} (inch-pound)` })),
  { quantity: 'saturation over water, 300 K', ours: () => saturationPressure(300), published: 3536.58941, unit: 'Pa', within: { relative: 300e-6 }, source: 'IAPWS R7-97 table 35' },
  { quantity: 'boiling at 0.1 MPa', ours: () => dewPointOf(1e5).temperature, published: 372.755919, unit: 'K', within: { absolute: 0.02 }, source: 'IAPWS R7-97 table 36' },
  { quantity: 'boiling at 1 MPa', ours: () => dewPointOf(1e6).temperature, published: 453.035632, unit: 'K', within: { absolute: 0.02 }, source: 'IAPWS R7-97 table 36' },
];

const saturatedRatios: [number, number, number][] = [[-20, 0.0006373, 0.01], [-5, 0.0024863, 0.005], [5, 0.005425, 0.005], [25, 0.020173, 0.005], [50, 0.086863, 0.01]];
const dewPoints: [number, number, number][] = [[20, 50, 9.27], [30, 80, 26.17], [10, 85, 7.6], [35, 40, 19.39]];
const ratioAt40 = (): number => humidityRatioFromWetBulb(fromCelsius(40), fromCelsius(20), SEA);
/** Partial pressure of water from a humidity ratio. */
const vapourOf = (ratio: number, pressure: number): number => (pressure * ratio) / (0.621945 + ratio);
/** g/m³ of vapour at its own temperature. */
const vapourDensity = (pressure: number, t: number): number => (1000 * pressure * 0.621945) / (287.042 * fromCelsius(t));

export const HUMID_AIR: readonly Row[] = [
  ...saturatedRatios.map(([t, published, relative]): Row => ({ quantity: `humidity ratio, saturated, ${t} °C`, ours: () => humidityRatio(fromCelsius(t), 1, SEA), published, unit: 'kg/kg', within: { relative }, source: T2 })),
  { quantity: 'humidity ratio, 3169.7 Pa at 95461 Pa', ours: () => humidityRatioOf(3169.7, AT_500), published: 0.0213603998, unit: 'kg/kg', within: { relative: 1e-6 }, source: LIBRARY },
  { quantity: 'humidity ratio, 30 °C dry, 25 °C wet, 95461 Pa', ours: () => humidityRatioFromWetBulb(fromCelsius(30), fromCelsius(25), AT_500), published: 0.0192281274, unit: 'kg/kg', within: { relative: 300e-6 }, source: LIBRARY },
  ...[-20, 5, 50].map((t): Row => ({ quantity: `dew point of air saturated at ${t} °C`, ours: () => celsius(dewPointOf(saturationPressure(fromCelsius(t))).temperature), published: t, unit: '°C', within: { absolute: 0.001 }, source: LIBRARY })),
  { quantity: 'humidity ratio, 40 °C dry, 20 °C wet', ours: ratioAt40, published: 0.0065, unit: 'kg/kg', within: { absolute: 1e-4 }, source: 'ASHRAE Fundamentals (2017) ch. 1 example 1' },
  { quantity: 'dew point, 40 °C dry, 20 °C wet', ours: () => celsius(dewPointOf(vapourOf(ratioAt40(), SEA)).temperature), published: 7, unit: '°C', within: { absolute: 0.5 }, source: 'ASHRAE Fundamentals (2017) ch. 1 example 1' },
  { quantity: 'relative humidity, 40 °C dry, 20 °C wet', ours: () => vapourOf(ratioAt40(), SEA) / saturationPressure(fromCelsius(40)), published: 0.14, unit: '1', within: { absolute: 0.01 }, source: 'ASHRAE Fundamentals (2017) ch. 1 example 1' },
  { quantity: 'volume per dry air, 40 °C dry, 20 °C wet', ours: () => (1 + ratioAt40()) / density(fromCelsius(40), ratioAt40(), SEA), published: 0.896, unit: 'm³/kg', within: { relative: 0.01 }, source: 'ASHRAE Fundamentals (2017) ch. 1 example 1' },
  { quantity: 'density, 30 °C, 0.02 kg/kg, 95461 Pa', ours: () => density(fromCelsius(30), 0.02, AT_500), published: 1.08411986, unit: 'kg/m³', within: { relative: 300e-6 }, source: LIBRARY },
  ...([[0, 101325], [500, 95461], [1000, 89875], [4000, 61640]] as const).map(([h, published]): Row => ({ quantity: `standard atmosphere, ${h} m`, ours: () => atmosphereAt(h), published, unit: 'Pa', within: { absolute: 1 }, source: 'ASHRAE Fundamentals (2017) ch. 1 table 1' })),
  ...dewPoints.map(([t, rh, published]): Row => ({ quantity: `dew point, ${t} °C, ${rh} %`, ours: () => celsius(dewPoint(fromCelsius(t), rh / 100).temperature), published, unit: '°C', within: { absolute: 0.02 }, source: RECKONED })),
  ...([[20, 17.3], [35, 39.63]] as const).map(([t, published]): Row => ({ quantity: `water in saturated air, ${t} °C`, ours: () => vapourDensity(saturationPressure(fromCelsius(t)), t), published, unit: 'g/m³', within: { relative: 0.005 }, source: 'trade table, seen in a secondary source' })),
];

const down: [number, number][] = [[-40, -57.0], [-20, -39.9], [3, -20.8], [10, -15.7], [20, -8.5]];
const downOverWater: [number, number][] = [[3, -23.1], [10, -17.5], [20, -9.6]];
const up: [number, number][] = [[-40, -20.3], [-20, 3.9], [0, 32.0], [10, 45.0]];
/** Ambient °F, dew point allowed °F, the same moisture as a pressure dew point at 100 psi in °C, ppm by volume. */
const tenFahrenheitRule: [number, number, number, number][] = [[70, 60, 52.3, 17443], [40, 30, 30.4, 5502], [20, 10, 14.6, 2102], [0, -10, -0.6, 737]];
const shareOfWater = (kelvin: number): number => (1e6 * saturationPressure(kelvin)) / SEA;
const shares: [string, number, number, string][] = [
  ['-70 °C', fromCelsius(-70), 2.6, 'dew point note, seen in a secondary source'],
  ['-40 °C', fromCelsius(-40), 127.5, 'dew point note, seen in a secondary source'],
  ['-20 °C', fromCelsius(-20), 1024, 'dew point note, seen in a secondary source'],
  ['3 °C', fromCelsius(3), 7414, 'dew point note, seen in a secondary source'],
  ['-50 °F', fromFahrenheit(-50), 67, 'CGA table, seen in a secondary source'],
  ['-65 °F', fromFahrenheit(-65), 24, 'CGA table, from memory'],
];

export const LINE_MOISTURE: readonly Row[] = [
  ...shares.map(([at, kelvin, published, source]): Row => ({ quantity: `water at one atmosphere, dew or frost point ${at}`, ours: () => shareOfWater(kelvin), published, unit: 'ppm', within: { relative: at === '-65 °F' ? 0.02 : 0.015 }, source })),
  ...down.map(([pressure, published]): Row => ({ quantity: `${pressure} °C at 7 bar, let down to one atmosphere`, ours: () => celsius(atmosphericDewPoint(fromCelsius(pressure), SEVEN_BAR, SEA).temperature), published, unit: '°C', within: { absolute: 0.3 }, source: RECKONED })),
  ...downOverWater.map(([pressure, published]): Row => ({
    quantity: `${pressure} °C at 7 bar, let down, over supercooled water`,
    ours: () => celsius(supercooledDewPointOf((saturationPressure(fromCelsius(pressure)) * SEA) / (SEVEN_BAR + SEA))),
    published,
    unit: '°C',
    within: { absolute: 0.3 },
    source: RECKONED,
  })),
  ...up.map(([atmospheric, published]): Row => ({ quantity: `${atmospheric} °C at one atmosphere, at 100 psi`, ours: () => celsius(pressureDewPoint(fromCelsius(atmospheric), HUNDRED_PSI, SEA).temperature), published, unit: '°C', within: { absolute: 0.3 }, source: RECKONED })),
  ...tenFahrenheitRule.flatMap(([ambient, allowed, published, ppm]): Row[] => [
    { quantity: `10 °F below ${ambient} °F, as pressure dew point at 100 psi`, ours: () => celsius(pressureDewPoint(fromFahrenheit(allowed), HUNDRED_PSI, SEA).temperature), published, unit: '°C', within: { absolute: 0.3 }, source: RECKONED },
    { quantity: `10 °F below ${ambient} °F, water`, ours: () => shareOfWater(fromFahrenheit(allowed)), published: ppm, unit: 'ppm', within: { relative: 0.001 }, source: RECKONED },
  ]),
  {
    quantity: '-11 °C at 7 bar, expanded to one atmosphere and 20 °C',
    ours: () => 1000 * vapourDensity((saturationPressure(fromCelsius(-11)) * SEA) / (SEVEN_BAR + SEA), 20),
    published: 222,
    unit: 'mg/m³',
    within: { relative: 0.01 },
    source: RECKONED,
  },
];

/** Spread in °F, published band in %, steel temperatures in °F it holds for. */
const spreads: [number, number, number, number[]][] = [[5, 82, 86, [60, 70, 80]], [15, 54, 62, [60, 70, 80]], [20, 43, 51, [60, 70, 80]], [25, 34, 42, [60, 70, 80]], [30, 27, 35, [60, 70, 80]], [35, 19, 26, [50, 60]]];
/** Air saturated at the dew point has just that dew point. */
const atSpread = (steel: number, spread: number): number => 100 * surfaceHumidity(fromFahrenheit(steel), fromFahrenheit(steel - spread), 1);

export const SURFACE_BANDS: readonly Band[] = spreads.flatMap(([spread, low, high, steels]) =>
  steels.map((steel): Band => ({ quantity: `humidity at steel of ${steel} °F, ${spread} °F above the dew point`, ours: () => atSpread(steel, spread), low: low - 2, high: high + 2, unit: '%', source: `NACE 6A192/SSPC-TR 3 table 1: ${low} to ${high} %, ±2, seen in a secondary source` })),
);
export const SURFACE: readonly Row[] = ([[5, 84.2], [15, 58.9], [20, 49.0], [25, 40.6]] as const).map(([spread, published]): Row => ({ quantity: `humidity at steel of 70 °F, ${spread} °F above the dew point`, ours: () => atSpread(70, spread), published, unit: '%', within: { absolute: 0.3 }, source: RECKONED }));

export const CLIMATE_MISSES: readonly Miss[] = [
  {
    quantity: 'humidity ratio, 86 °F dry, 77 °F wet, 14.175 psia, to 300 ppm',
    ours: () => humidityRatioFromWetBulb(fromFahrenheit(86), fromFahrenheit(77), absolute(14.175 * PSI)),
    published: 0.0187193288,
    unit: 'lb/lb',
    within: { relative: 320e-6 },
    source: LIBRARY,
    why: 'the inch-pound form of the wet-bulb equation rounds its constants otherwise than the SI form that we use',
  },
  {
    quantity: 'wet bulb, 20 °C, 50 %',
    ours: () => celsius(wetBulb(fromCelsius(20), 0.5, SEA)),
    published: 13.7,
    unit: '°C',
    within: { absolute: 0.1 },
    source: 'Stull, J. Appl. Meteorol. Climatol. 50 (2011) 2267, from memory',
    why: 'an empirical fit that is itself off by −1 to +0.65 °C; ours solves the energy balance and agrees with a psychrometric library',
  },
  {
    quantity: 'saturation over water, 300 K, to 1e-8',
    ours: () => saturationPressure(300),
    published: 3536.58941,
    unit: 'Pa',
    within: { relative: 300e-6 },
    source: 'IAPWS R7-97 table 35',
    why: 'another formula (industrial steam); ours is Hyland and Wexler as in ASHRAE, 160 ppm lower: 0.003 °C of dew point',
  },
];

import { dewPoint, humidityRatio, supercooledDewPointOf, vapourPressure, wetBulb } from '../../domain/climate/humid-air.ts';
import { angleBetween, intakePlume } from '../../domain/climate/plume.ts';
import { steelMargin } from '../../domain/climate/steel-margin.ts';
import { surfaceHumidity } from '../../domain/climate/surface-humidity.ts';
import type { Calculation, Input } from './calculation.ts';

export const TEMPERATURE: Input = { flag: 'temperature', kind: 'temperature', value: '<temperature>', about: 'air temperature, e.g. 25degC or 77degF' };
export const HUMIDITY: Input = { flag: 'humidity', kind: 'fraction', value: '<humidity>', about: 'relative humidity, e.g. 60%' };

const HUMID_AIR = 'ideal mixture; saturation by Hyland and Wexler, over ice below 0 °C';
const ASHRAE = 'ASHRAE Fundamentals (2017) ch. 1';

/** Below 0 °C the dew point over supercooled water is told too: some tables and mirrors mean that one. */
export function supercooled(pressure: number, frost: boolean): Record<string, unknown> {
  return frost ? { overSupercooledWater: { value: supercooledDewPointOf(pressure) - 273.15, unit: 'Cel' } } : {};
}

function read(given: { number: (flag: string) => number }): [number, number] {
  return [given.number('temperature'), given.number('humidity')];
}

export const CLIMATE_CALCULATIONS: readonly Calculation[] = [
  {
    name: 'dew-point',
    about: 'dew or frost point of the air',
    example: '--temperature 20degC --humidity 50%',
    inputs: [TEMPERATURE, HUMIDITY],
    unit: 'Cel',
    answers: [{ dimension: 'temperature' }],
    atmosphere: false,
    compute: (given) => {
      const [temperature, humidity] = read(given);
      const { temperature: si, phase } = dewPoint(temperature, humidity);
      return { si, method: HUMID_AIR, source: `${ASHRAE} eq. 5 and 6`, more: { phase, ...supercooled(vapourPressure(temperature, humidity), phase === 'frost') } };
    },
  },
  {
    name: 'wet-bulb',
    about: 'thermodynamic wet bulb temperature of the air',
    example: '--temperature 86degF --humidity 50% --in degF',
    inputs: [TEMPERATURE, HUMIDITY],
    unit: 'Cel',
    answers: [{ dimension: 'temperature' }],
    atmosphere: true,
    compute: (given) => ({
      si: wetBulb(...read(given), given.atmosphere),
      method: 'energy balance at the wick, iced below 0 °C, solved for the wet bulb',
      source: `${ASHRAE} eq. 33 and 35`,
    }),
  },
  {
    name: 'humidity-ratio',
    about: 'water per dry air by mass',
    example: '--temperature 25degC --humidity 100% --elevation 500m',
    inputs: [TEMPERATURE, HUMIDITY],
    unit: '1',
    answers: [{ dimension: 'fraction' }],
    atmosphere: true,
    compute: (given) => ({ si: humidityRatio(...read(given), given.atmosphere), method: `${HUMID_AIR}; kg of water per kg of dry air`, source: `${ASHRAE} eq. 20` }),
  },
  {
    name: 'steel-margin',
    about: 'how far the steel is above the dew point (a difference)',
    example: '--steel 60degF --temperature 68degF --humidity 70% --in degF',
    inputs: [{ flag: 'steel', kind: 'temperature', value: '<temperature>', about: 'steel temperature, at the coldest place' }, TEMPERATURE, HUMIDITY],
    unit: 'Cel',
    answers: [{ dimension: 'temperature-difference' }],
    atmosphere: false,
    compute: (given) => {
      const [temperature, humidity] = read(given);
      const steel = given.number('steel');
      const si = steelMargin(steel, temperature, humidity);
      const dew = dewPoint(temperature, humidity);
      const more = {
        dewPoint: { value: dew.temperature - 273.15, unit: 'Cel', phase: dew.phase },
        surfaceHumidity: { value: surfaceHumidity(steel, temperature, humidity) * 100, unit: '%' },
        // 5 °F is 2.78 °C: two rules.
        meets3degC: si >= 3,
        meets5degF: si >= (5 * 5) / 9,
      };
      return { si, method: `steel less dew point; ${HUMID_AIR}`, source: `${ASHRAE} eq. 5 and 6; rules of 3 °C and 5 °F: ISO 8502-4:2017 and SSPC practice, seen in a secondary source`, more };
    },
  },
  {
    name: 'intake-plume',
    about: 'angle between where the wind blows to and the compressor intake: 0 is straight into it',
    example: '--wind-from 90deg --intake-bearing 270deg',
    inputs: [
      { flag: 'wind-from', kind: 'angle', value: '<bearing>', about: 'where the wind comes from, e.g. 90deg' },
      { flag: 'intake-bearing', kind: 'angle', value: '<bearing>', about: 'bearing of the intake seen from the blasting' },
      { flag: 'wind-speed', kind: 'speed', value: '<speed>', about: 'in calm air the direction means nothing', optional: true, sign: 'not-negative' },
    ],
    unit: 'deg',
    answers: [{ dimension: 'angle' }],
    atmosphere: false,
    compute: (given) => {
      const [from, intake] = [given.number('wind-from'), given.number('intake-bearing')];
      for (const [flag, bearing] of [['wind-from', from], ['intake-bearing', intake]] as const) {
        if (!(bearing >= 0 && bearing <= 2 * Math.PI + 1e-9)) throw new RangeError(`--${flag} must lie between 0deg and 360deg`);
      }
      const plume = intakePlume(from, intake, given.maybe('wind-speed'));
      return {
        si: plume.offAxis,
        method: 'angle between downwind and the intake; in the plume within 45°, no telling at 1.5 m/s and below',
        source: 'common practice, no source',
        more: { intake: plume.intake, inPlume: plume.intake === 'cant-say' ? null : plume.intake === 'in-plume', windAgainstIntake: { value: (angleBetween(from, intake) * 180) / Math.PI, unit: 'deg' } },
      };
    },
  },
];

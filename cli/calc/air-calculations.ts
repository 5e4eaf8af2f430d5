import { MOISTURE_TABLE_AIR, MOISTURE_TABLE_AIR_DENSITY, condensate } from '../../domain/air/condensate.ts';
import { ADVISED_RESERVE, compressorLoad } from '../../domain/air/compressor-load.ts';
import { leak } from '../../domain/air/leak.ts';
import { atmosphericDewPoint, pressureDewPoint } from '../../domain/air/line-moisture.ts';
import { nozzleMassFlow } from '../../domain/air/nozzle-flow.ts';
import { productionFactor } from '../../domain/air/production.ts';
import { STANDARD_AIR } from '../../domain/air/standard-air.ts';
import { saturationPressure } from '../../domain/climate/humid-air.ts';
import { gauge } from '../../domain/quantity/pressure.ts';
import type { Calculation, Given, Input } from './calculation.ts';
import { HUMIDITY, TEMPERATURE, supercooled } from './climate-calculations.ts';
import { AIR_FLOW_ANSWERS, AIR_TEMPERATURE, COEFFICIENT, NOZZLE_BORE, inCfm } from './line-calculations.ts';

const LINE_PRESSURE: Input = { flag: 'pressure', kind: 'gauge', value: '<pressure>', about: 'of the line, gauge' };
const WATER_DENSITY = 1000;
const DALTON = "Dalton's law; saturation by Hyland and Wexler, over ice below 0 °C";
const ASHRAE = 'ASHRAE Fundamentals (2017) ch. 1 eq. 5 and 6';

/** The two ways between the dew points of line air. */
function dewPointCalculation(name: string, from: string, about: string, convert: typeof atmosphericDewPoint): Calculation {
  return {
    name,
    about,
    example: `--${from} 3degC --pressure 100psi`,
    inputs: [{ flag: from, kind: 'temperature', value: '<temperature>', about: from.replaceAll('-', ' ') }, LINE_PRESSURE],
    unit: 'Cel',
    answers: [{ dimension: 'temperature' }],
    atmosphere: true,
    compute: (given) => {
      const { temperature, phase } = convert(given.number(from), gauge(given.number('pressure')), given.atmosphere);
      const vapour = saturationPressure(temperature);
      return { si: temperature, method: DALTON, source: ASHRAE, more: { phase, ...supercooled(vapour, phase === 'frost') } };
    },
  };
}

export const AIR_CALCULATIONS: readonly Calculation[] = [
  dewPointCalculation('atmospheric-dew-point', 'pressure-dew-point', 'dew point of line air at one atmosphere, from its pressure dew point', atmosphericDewPoint),
  dewPointCalculation('pressure-dew-point', 'atmospheric-dew-point', 'pressure dew point of line air, from its dew point at one atmosphere', pressureDewPoint),
  {
    name: 'compressor-load',
    about: 'what the rigs draw against what the compressor is rated for',
    example: '--rated-flow 750cfm --nozzle-bore 7/16in --pressure 100psi --rigs 2 --breathing-flow 20cfm',
    inputs: [
      { flag: 'rated-flow', kind: 'flow', value: '<flow>', about: 'of the compressor, standard volume or mass', sign: 'positive' },
      NOZZLE_BORE,
      { flag: 'pressure', kind: 'gauge', value: '<pressure>', about: 'at the nozzles, gauge' },
      { flag: 'rigs', kind: 'count', value: '<number>', about: 'rigs with such a nozzle', assumed: '1', sign: 'not-negative' },
      { flag: 'breathing-flow', kind: 'flow', value: '<flow>', about: 'breathing air of all together', assumed: '0cfm', sign: 'not-negative' },
      COEFFICIENT,
      AIR_TEMPERATURE,
    ],
    unit: '%',
    answers: [{ dimension: 'fraction' }],
    atmosphere: true,
    compute: computeLoad,
  },
  {
    name: 'condensate',
    about: 'water that falls out of compressed air as it cools, per time',
    example: '--temperature 80degF --humidity 75% --flow 500cfm --pressure 100psi --cooled-to 100degF',
    inputs: [
      { ...TEMPERATURE, about: 'of the air drawn in' },
      { ...HUMIDITY, about: 'of the air drawn in' },
      { flag: 'flow', kind: 'flow', value: '<flow>', about: 'free air of the moisture tables (60 °F, 14.7 psia, dry), or mass of dry air', sign: 'not-negative', standardDensity: MOISTURE_TABLE_AIR_DENSITY },
      LINE_PRESSURE,
      { flag: 'cooled-to', kind: 'temperature', value: '<temperature>', about: 'in aftercooler, separator or hose' },
    ],
    unit: '[gal_us]/h',
    answers: [{ dimension: 'volume-flow', factor: 1 / WATER_DENSITY }, { dimension: 'mass-flow' }],
    atmosphere: true,
    compute: (given) => {
      const { drawnIn, held, separated } = condensate({
        airFlow: given.number('flow'),
        temperature: given.number('temperature'),
        relativeHumidity: given.number('humidity'),
        atmosphere: given.atmosphere,
        line: gauge(given.number('pressure')),
        cooledTo: given.number('cooled-to'),
      });
      const perHour = (flow: number): { value: number; unit: string } => ({ value: flow * 3600, unit: 'kg/h' });
      return {
        si: separated,
        method: 'water drawn in less what saturated air holds at line pressure; 1 kg of water is 1 L',
        source: `${ASHRAE} and 20; checked against Compressed Air & Gas Institute Handbook tables 3.3 and 3.4 (seen in a secondary source)`,
        more: { reference: MOISTURE_TABLE_AIR, drawnIn: perHour(drawnIn), heldAsVapour: perHour(held), separated: perHour(separated) },
      };
    },
  },
  {
    name: 'leak',
    about: 'leak of a shut-in volume from its fall of pressure',
    example: '--volume 2.2ft3 --from 100psi --to 98psi --time 60s',
    inputs: [
      { flag: 'volume', kind: 'volume', value: '<volume>', about: 'that holds the air', sign: 'positive' },
      { flag: 'from', kind: 'gauge', value: '<pressure>', about: 'at the start, gauge' },
      { flag: 'to', kind: 'gauge', value: '<pressure>', about: 'at the end, gauge' },
      { flag: 'time', kind: 'time', value: '<time>', about: 'held', sign: 'positive' },
      AIR_TEMPERATURE,
    ],
    unit: '[cft_i]/min',
    answers: AIR_FLOW_ANSWERS,
    atmosphere: true,
    compute: (given) => {
      const [from, to] = [given.number('from'), given.number('to')];
      if (to > from) throw new RangeError('--to must not be above --from: the pressure rose, so a valve is open or the air warmed');
      const { value } = leak({ volume: given.number('volume'), from: gauge(from), to: gauge(to), time: given.number('time'), temperature: given.number('temperature') });
      return { si: value, method: 'ideal gas at one temperature: volume × fall of pressure / (R·T·time)', source: 'ideal gas law', more: { reference: STANDARD_AIR } };
    },
  },
  {
    name: 'production',
    about: 'production at a nozzle pressure against that at a reference',
    example: '--pressure 90psi',
    inputs: [
      { flag: 'pressure', kind: 'gauge', value: '<pressure>', about: 'at the nozzle, gauge' },
      { flag: 'reference', kind: 'gauge', value: '<pressure>', about: 'that counts as 100 %', assumed: '100psi' },
    ],
    unit: '%',
    answers: [{ dimension: 'fraction' }],
    atmosphere: true,
    compute: (given) => ({
      si: productionFactor(gauge(given.number('pressure')), gauge(given.number('reference'))),
      method: '1.5 % per psi from the reference, a rule of thumb',
      source: 'common trade rule, seen in a secondary source',
    }),
  },
];

function computeLoad(given: Given) {
  if (!(given.number('pressure') > 0)) throw new RangeError('--pressure must be above the atmosphere for air to flow');
  const nozzle = { bore: given.number('nozzle-bore'), pressure: gauge(given.number('pressure')), atmosphere: given.atmosphere, temperature: given.number('temperature'), coefficient: given.number('coefficient') };
  const one = nozzleMassFlow(nozzle);
  const { load, demand, reserve, hasAdvisedReserve } = compressorLoad(given.number('rated-flow'), [one * given.number('rigs'), given.number('breathing-flow')]);
  return {
    si: load,
    method: 'demand of all nozzles and breathing air over the rating',
    source: `nozzle flow as nozzle-flow; reserve of ${ADVISED_RESERVE * 100} % above demand advised (seen in a secondary source)`,
    more: { demand: inCfm(demand), perNozzle: inCfm(one), reserve: reserve === null ? null : { value: reserve * 100, unit: '%' }, hasAdvisedReserve, reference: STANDARD_AIR },
  };
}

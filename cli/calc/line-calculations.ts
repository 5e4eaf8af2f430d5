import { USUAL_ABRASIVE_RATIO, abrasiveLoading } from '../../domain/air/abrasive-loading.ts';
import { hoseLoss } from '../../domain/air/hose-loss.ts';
import { lineProfile } from '../../domain/air/line-profile.ts';
import { blastLine, solveLine } from '../../domain/air/line.ts';
import { NOZZLE_COEFFICIENT, isChoked, nozzleBore, nozzleMassFlow } from '../../domain/air/nozzle-flow.ts';
import { STANDARD_AIR, STANDARD_AIR_DENSITY, standardVolumeFlow } from '../../domain/air/standard-air.ts';
import { gauge } from '../../domain/quantity/pressure.ts';
import { fromSi, needUnit } from '../../domain/quantity/unit.ts';
import type { AnswerKind, Calculation, Given, Input } from './calculation.ts';

const PSI = needUnit('[psi]', 'pressure');
const CFM = needUnit('[cft_i]/min', 'volume-flow');

/** Air flow in SI is kg/s; asked for by volume it is standard volume. */
export const AIR_FLOW_ANSWERS: readonly AnswerKind[] = [{ dimension: 'volume-flow', factor: 1 / STANDARD_AIR_DENSITY }, { dimension: 'mass-flow' }];

export function inPsi(pascal: number): { value: number; unit: string } {
  return { value: fromSi(pascal, PSI), unit: PSI.code };
}

export function inCfm(massFlow: number): { value: number; unit: string } {
  return { value: fromSi(standardVolumeFlow(massFlow), CFM), unit: CFM.code };
}

export const NOZZLE_BORE: Input = { flag: 'nozzle-bore', kind: 'length', value: '<bore>', about: 'bore of the nozzle, e.g. 7/16in', sign: 'positive' };
export const COEFFICIENT: Input = { flag: 'coefficient', kind: 'count', value: '<number>', about: 'discharge coefficient', assumed: String(NOZZLE_COEFFICIENT), sign: 'positive' };
export const AIR_TEMPERATURE: Input = { flag: 'temperature', kind: 'temperature', value: '<temperature>', about: 'of the air', assumed: '20degC' };
const PRESSURE: Input = { flag: 'pressure', kind: 'gauge', value: '<pressure>', about: 'gauge pressure, e.g. 100psi' };

function nozzleAt(given: Given) {
  return { pressure: gauge(given.number('pressure')), atmosphere: given.atmosphere, temperature: given.number('temperature'), coefficient: given.number('coefficient') };
}

const NOZZLE_METHOD = 'isentropic flow of an ideal gas, choked or not, times a discharge coefficient with abrasive in the stream';
const NOZZLE_SOURCE = 'compressible flow, any textbook; coefficient fitted to published charts of blast nozzles (Surface Finishing Guidebook 2011-12 p. 50, and trade charts seen in a secondary source)';
const HOSE_SOURCE = 'Darcy and Colebrook (1939); roughness fitted to a published compressor hose chart (seen in a secondary source)';

/** A pressure that must drive air out is refused at or below the atmosphere. */
function needDriving(given: Given, flag: string): void {
  if (!(given.number(flag) > 0)) throw new RangeError(`--${flag} must be above the atmosphere for air to flow`);
}

export const LINE_CALCULATIONS: readonly Calculation[] = [
  {
    name: 'nozzle-flow',
    about: 'air through a blast nozzle',
    example: '--bore 7/16in --pressure 100psi',
    inputs: [{ ...NOZZLE_BORE, flag: 'bore' }, { ...PRESSURE, about: 'at the nozzle, gauge, e.g. 100psi' }, COEFFICIENT, AIR_TEMPERATURE],
    unit: '[cft_i]/min',
    answers: AIR_FLOW_ANSWERS,
    atmosphere: true,
    compute: (given) => {
      needDriving(given, 'pressure');
      const nozzle = nozzleAt(given);
      const massFlow = nozzleMassFlow({ bore: given.number('bore'), ...nozzle });
      return { si: massFlow, method: NOZZLE_METHOD, source: NOZZLE_SOURCE, more: { reference: STANDARD_AIR, choked: isChoked(nozzle.pressure, given.atmosphere), massFlow: { value: massFlow, unit: 'kg/s' } } };
    },
  },
  {
    name: 'nozzle-bore',
    about: 'the bore that passes a flow at a pressure',
    example: '--flow 250cfm --pressure 100psi --in mm',
    inputs: [{ flag: 'flow', kind: 'flow', value: '<flow>', about: 'standard volume or mass flow of air', sign: 'positive' }, { ...PRESSURE, about: 'at the nozzle, gauge' }, COEFFICIENT, AIR_TEMPERATURE],
    unit: '[in_i]',
    answers: [{ dimension: 'length' }],
    atmosphere: true,
    compute: (given) => {
      needDriving(given, 'pressure');
      return { si: nozzleBore({ massFlow: given.number('flow'), ...nozzleAt(given) }), method: `${NOZZLE_METHOD}; solved for the bore`, source: NOZZLE_SOURCE, more: { reference: STANDARD_AIR } };
    },
  },
  {
    name: 'hose-loss',
    about: 'pressure lost along a clean-air hose',
    example: '--bore 1-1/4in --length 50ft --flow 150cfm --pressure 100psi',
    inputs: [
      { flag: 'bore', kind: 'length', value: '<bore>', about: 'of the hose', sign: 'positive' },
      { flag: 'length', kind: 'length', value: '<length>', about: 'of the hose', sign: 'not-negative' },
      { flag: 'flow', kind: 'flow', value: '<flow>', about: 'standard volume or mass flow of air', sign: 'not-negative' },
      { ...PRESSURE, about: 'at the inlet, gauge' },
      AIR_TEMPERATURE,
      { flag: 'loading', kind: 'count', value: '<number>', about: 'friction over that of clean air, above 1 with abrasive', assumed: '1', sign: 'positive' },
      { flag: 'fittings', kind: 'count', value: '<number>', about: 'sum of loss coefficients of couplings and valves', assumed: '0', sign: 'not-negative' },
      { flag: 'roughness', kind: 'length', value: '<length>', about: 'of the bore', assumed: '0.0006in', sign: 'not-negative' },
    ],
    unit: '[psi]',
    answers: [{ dimension: 'pressure' }],
    atmosphere: true,
    compute: (given) => {
      const hose = { bore: given.number('bore'), length: given.number('length'), loading: given.number('loading'), fittings: given.number('fittings'), roughness: given.number('roughness') };
      const air = { inlet: gauge(given.number('pressure')), atmosphere: given.atmosphere, temperature: given.number('temperature') };
      return { si: hoseLoss(hose, air, given.number('flow')), method: 'isothermal compressible flow, Darcy friction by Colebrook', source: HOSE_SOURCE, more: { reference: STANDARD_AIR } };
    },
  },
  {
    name: 'line',
    about: 'nozzle pressure and flow of a blast machine, its blast hose and nozzle',
    example: '--supply 110psi --hose-bore 1-1/4in --hose-length 100ft --nozzle-bore 7/16in',
    inputs: [
      { flag: 'supply', kind: 'gauge', value: '<pressure>', about: 'at the blast machine, gauge' },
      { flag: 'hose-bore', kind: 'length', value: '<bore>', about: 'of the blast hose', sign: 'positive' },
      { flag: 'hose-length', kind: 'length', value: '<length>', about: 'of the blast hose', sign: 'not-negative' },
      NOZZLE_BORE,
      COEFFICIENT,
      AIR_TEMPERATURE,
      { flag: 'loading', kind: 'count', value: '<number>', about: "friction over that of clean air, from the rig's own baseline where there is one", assumed: String(abrasiveLoading()), sign: 'positive' },
    ],
    unit: '[psi]',
    answers: [{ dimension: 'pressure' }],
    gaugeAnswer: true,
    atmosphere: true,
    compute: computeLine,
  },
];

function computeLine(given: Given) {
  needDriving(given, 'supply');
  const hose = { bore: given.number('hose-bore'), length: given.number('hose-length'), loading: given.number('loading') };
  const nozzle = { bore: given.number('nozzle-bore'), coefficient: given.number('coefficient') };
  const line = blastLine({ supply: gauge(given.number('supply')), atmosphere: given.atmosphere, temperature: given.number('temperature'), hose, nozzle });
  const { solved, outlets } = lineProfile(line);
  const clean = solveLine(blastLine({ ...line, hose: { ...hose, loading: 1 }, nozzle })).outlets[0];
  const [outlet, profile] = [solved.outlets[0], outlets[0]];
  const error = profile?.places.at(-1)?.standardError ?? 0;
  if (!outlet || !clean) throw new RangeError('the line has no outlet');
  return {
    si: outlet.nozzlePressure,
    method: `supply less the loss in a hose that carries abrasive, solved with the nozzle's flow; friction ${given.number('loading')} × clean air (abrasive to air ${USUAL_ABRASIVE_RATIO} by mass unless given)`,
    source: `${HOSE_SOURCE}; nozzle: ${NOZZLE_SOURCE}; loading: a rule, ±40 %`,
    more: {
      flow: { ...inCfm(outlet.massFlow), reference: STANDARD_AIR },
      loss: inPsi(solved.supply - outlet.nozzlePressure),
      interval95: { low: inPsi(outlet.nozzlePressure - 1.96 * error).value, high: inPsi(outlet.nozzlePressure + 1.96 * error).value, unit: PSI.code, assumes: 'friction ±40 %, coefficient ±10 %, supply gauge ±1 psi' },
      withoutAbrasive: { nozzlePressure: inPsi(clean.nozzlePressure), flow: inCfm(clean.massFlow) },
    },
  };
}

import { atmosphericDewPoint } from '../air/line-moisture.ts';
import { dewPoint } from '../climate/humid-air.ts';
import { steelMargin } from '../climate/steel-margin.ts';
import { absolute, atmosphereAt, gauge } from '../quantity/pressure.ts';
import { fromSi, needUnit, toSi } from '../quantity/unit.ts';
import { needPointKind } from './catalogue.ts';
import { expectedNozzlePressure } from './expected-nozzle-pressure.ts';
import type { QualityReason } from './reading.ts';

/** How the line is built, as far as computed points need it; metres, psi gauge. */
export interface LineSetup {
  readonly elevation: number;
  readonly hose: { readonly bore: number; readonly length: number } | null;
  readonly nozzle: { readonly bore: number } | null;
}

/** Values of the inputs in SI: gauge Pa, K, fraction; states as 0 or 1. */
export type Inputs = (id: string) => number;

/** A result in SI, or why there is none. */
export type Computed = { readonly si: number } | { readonly reason: QualityReason };

/** One way to compute a point: it is taken when all its inputs have a usable value. */
export interface Way {
  readonly needs: readonly string[];
  readonly compute: (inputs: Inputs, setup: LineSetup, previous: number | null) => Computed;
}

/** A computed point: the first way whose inputs are there is used; its quality is that of its worst input. */
export interface ComputedPoint {
  readonly id: string;
  readonly ways: readonly Way[];
}

const PSI = needUnit('[psi]', 'pressure');
/** Nozzle under flow: on above the one, off below the other (common practice, no source). */
const BLASTING_ON = toSi(20, PSI);
const BLASTING_OFF = toSi(10, PSI);

const ambientDewPoint: Way = {
  needs: ['ambient-temperature', 'ambient-humidity'],
  compute: (read) => ({ si: dewPoint(read('ambient-temperature'), read('ambient-humidity')).temperature }),
};

const steelAboveDewPoint: Way = {
  needs: ['steel-temperature', 'ambient-temperature', 'ambient-humidity'],
  compute: (read) => ({ si: steelMargin(read('steel-temperature'), read('ambient-temperature'), read('ambient-humidity')) }),
};

/** Without a dew point sensor, air after a separator without a dryer is saturated: its temperature is the pressure dew point. */
function lineDewPoint(source: string, barometer: boolean): Way {
  const needs = [source, 'supply-pressure', ...(barometer ? ['barometric-pressure'] : [])];
  return {
    needs,
    compute: (read, setup) => {
      const atmosphere = barometer ? absolute(read('barometric-pressure')) : atmosphereAt(setup.elevation);
      return { si: atmosphericDewPoint(read(source), gauge(read('supply-pressure')), atmosphere).temperature };
    },
  };
}

const blastingFromNozzle: Way = {
  needs: ['nozzle-pressure'],
  compute: (read, _setup, previous) => ({ si: read('nozzle-pressure') >= (previous === 1 ? BLASTING_OFF : BLASTING_ON) ? 1 : 0 }),
};

const blastingFromHandle: Way = { needs: ['remote-control'], compute: (read) => ({ si: read('remote-control') }) };

const lineLoss: Way = {
  needs: ['blasting', 'supply-pressure', 'nozzle-pressure'],
  compute: (read) => (read('blasting') === 1 ? { si: read('supply-pressure') - read('nozzle-pressure') } : { reason: 'no-flow' }),
};

const expectedNozzle: Way = {
  needs: ['blasting', 'supply-pressure'],
  compute: (read, setup) => {
    if (read('blasting') !== 1) return { reason: 'no-flow' };
    if (!setup.hose || !setup.nozzle) return { reason: 'not-computable' };
    return { si: expectedNozzlePressure(gauge(read('supply-pressure')), setup.hose, setup.nozzle, atmosphereAt(setup.elevation)) };
  },
};

/** In order: a point comes after those it needs. */
export const COMPUTED_POINTS: readonly ComputedPoint[] = [
  { id: 'ambient-dew-point', ways: [ambientDewPoint] },
  { id: 'steel-margin', ways: [steelAboveDewPoint] },
  {
    id: 'line-atmospheric-dew-point',
    ways: [lineDewPoint('air-line-dew-point', true), lineDewPoint('air-line-dew-point', false), lineDewPoint('separator-temperature', true), lineDewPoint('separator-temperature', false)],
  },
  { id: 'blasting', ways: [blastingFromNozzle, blastingFromHandle] },
  { id: 'line-loss', ways: [lineLoss] },
  { id: 'expected-nozzle-pressure', ways: [expectedNozzle] },
];

/** A value of a point in its default unit → SI. */
export function pointToSi(id: string, value: number): number {
  const kind = needPointKind(id);
  return toSi(value, needUnit(kind.unit, kind.dimension));
}

/** SI → the point's default unit; not yet on its grid. */
export function pointFromSi(id: string, si: number): number {
  const kind = needPointKind(id);
  return fromSi(si, needUnit(kind.unit, kind.dimension));
}

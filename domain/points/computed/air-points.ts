import { isBlasting } from '../../air/blasting.ts';
import { compressorLoad } from '../../air/compressor-load.ts';
import { atmosphericDewPoint } from '../../air/line-moisture.ts';
import { nozzleMassFlow } from '../../air/nozzle-flow.ts';
import { productionFactor } from '../../air/production.ts';
import { massFlowOf, standardVolumeFlow } from '../../air/standard-air.ts';
import { type AbsolutePressure, absolute, atmosphereAt, gauge } from '../../quantity/pressure.ts';
import type { Computed, ComputedPoint, Sight, Way } from './computed-point.ts';
import { expectedNozzlePressure } from './expected-nozzle-pressure.ts';

const PSI = 6894.757293168361;
/** Production is told against 100 psi at the nozzle, as the rule of thumb is. */
const REFERENCE = gauge(100 * PSI);

function atmosphereOf(see: Sight): AbsolutePressure {
  const barometer = see.optional('barometric-pressure');
  return barometer === null ? atmosphereAt(see.setup.elevation) : absolute(barometer);
}

/** Without a dew point sensor: after a separator without a dryer air is saturated, so its temperature is the pressure dew point. */
const DEW_POINTS = ['air-line-dew-point', 'separator-temperature'] as const;

const atmospheric: readonly Way[] = DEW_POINTS.map((source) => ({
  needs: [source, 'supply-pressure'],
  compute: (see) => ({ si: atmosphericDewPoint(see.value(source), gauge(see.value('supply-pressure')), atmosphereOf(see)).temperature }),
}));

/** How far the coldest hose, taken at air temperature, is above the line's pressure dew point: below zero water falls out in it. */
const hoseMargin: readonly Way[] = DEW_POINTS.map((source) => ({
  needs: [source, 'ambient-temperature'],
  compute: (see) => ({ si: see.value('ambient-temperature') - see.value(source) }),
}));

/** A computation that means something only while the nozzle is under flow. */
function whileBlasting(needs: readonly string[], compute: (see: Sight) => Computed): Way {
  return { needs: ['blasting', ...needs], compute: (see) => (see.value('blasting') === 1 ? compute(see) : { reason: 'no-flow' }) };
}

function expected(see: Sight): Computed {
  const si = expectedNozzlePressure(see.setup, gauge(see.value('supply-pressure')));
  return si === undefined ? { reason: 'not-computable' } : { si };
}

function nozzleFlow(see: Sight): Computed {
  const { nozzle } = see.setup;
  if (!nozzle) return { reason: 'not-computable' };
  return { si: standardVolumeFlow(nozzleMassFlow({ bore: nozzle.bore, pressure: gauge(see.value('nozzle-pressure')), atmosphere: atmosphereOf(see) })) };
}

function load(see: Sight): Computed {
  const { ratedFlow } = see.setup;
  if (ratedFlow === null) return { reason: 'not-computable' };
  return { si: compressorLoad(massFlowOf(ratedFlow), [massFlowOf(Math.max(0, see.value('air-flow')))]).load };
}

/** In order: a point comes after those it needs. */
export const AIR_POINTS: readonly ComputedPoint[] = [
  { id: 'line-atmospheric-dew-point', ways: atmospheric },
  { id: 'breathing-air-dryness', ways: [{ needs: ['line-atmospheric-dew-point', 'ambient-temperature'], compute: (see) => ({ si: see.value('ambient-temperature') - see.value('line-atmospheric-dew-point') }) }] },
  { id: 'hose-condensation-margin', ways: hoseMargin },
  {
    id: 'blasting',
    ways: [
      { needs: ['nozzle-pressure'], compute: (see) => ((now) => ({ si: now ? 1 : 0, memory: now }))(isBlasting(see.memory === true, gauge(see.value('nozzle-pressure')))) },
      { needs: ['remote-control'], compute: (see) => ({ si: see.value('remote-control') }) },
    ],
  },
  { id: 'supply-loss', ways: [whileBlasting(['compressor-pressure', 'supply-pressure'], (see) => ({ si: see.value('compressor-pressure') - see.value('supply-pressure') }))] },
  { id: 'line-loss', ways: [whileBlasting(['supply-pressure', 'nozzle-pressure'], (see) => ({ si: see.value('supply-pressure') - see.value('nozzle-pressure') }))] },
  { id: 'expected-nozzle-pressure', ways: [whileBlasting(['supply-pressure'], expected)] },
  { id: 'line-loss-residual', ways: [whileBlasting(['expected-nozzle-pressure', 'nozzle-pressure'], (see) => ({ si: see.value('expected-nozzle-pressure') - see.value('nozzle-pressure') }))] },
  { id: 'nozzle-air-flow', ways: [whileBlasting(['nozzle-pressure'], nozzleFlow)] },
  { id: 'production-factor', ways: [whileBlasting(['nozzle-pressure'], (see) => ({ si: productionFactor(gauge(Math.max(0, see.value('nozzle-pressure'))), REFERENCE) }))] },
  { id: 'compressor-load', ways: [{ needs: ['air-flow'], compute: load }] },
];

import { CALM, intakePlume } from '../../climate/plume.ts';
import { dewPoint, wetBulb } from '../../climate/humid-air.ts';
import { steelMargin } from '../../climate/steel-margin.ts';
import { surfaceHumidity } from '../../climate/surface-humidity.ts';
import { atmosphereAt } from '../../quantity/pressure.ts';
import type { MedianSlots } from '../../trend/median-slots.ts';
import { nextTrend, openTrend, readTrend } from '../../trend/robust-trend.ts';
import { type TimeToLimit, timeToLimit } from '../../trend/time-to-limit.ts';
import type { Computed, ComputedPoint, Sight, Way } from './computed-point.ts';

const AIR = ['ambient-temperature', 'ambient-humidity'] as const;

/** Margin at which holding the final blast is due: 3 °C (ISO 8502-4 practice, seen in a secondary source). */
const STEEL_LIMIT = 3;

function steel(compute: (steelTemperature: number, temperature: number, humidity: number) => number): Way {
  return {
    needs: ['steel-temperature', ...AIR],
    compute: (see) => ({ si: compute(see.value('steel-temperature'), see.value('ambient-temperature'), see.value('ambient-humidity')) }),
  };
}

interface Remembered {
  readonly slots: MedianSlots;
  /** Worked out when a slot was completed: the answer can't change in between. */
  readonly left: TimeToLimit;
}

/** Time until the steel is within 3 °C of the dew point, if things go on as they do; no trend is an answer too. */
function steelTimeLeft(see: Sight): Computed {
  const before = (see.memory as Remembered | undefined) ?? { slots: openTrend(), left: { kind: 'no-trend' } };
  const slots = nextTrend(before.slots, see.atMs, see.value('steel-margin'));
  const left = slots.done === before.slots.done ? before.left : timeToLimit(readTrend(slots), STEEL_LIMIT, 'low');
  const memory: Remembered = { slots, left };
  return left.kind === 'approaching' ? { si: left.likely, memory } : { reason: 'no-trend', memory };
}

interface MeanWind {
  readonly east: number;
  readonly north: number;
  readonly speed: number;
  readonly atMs: number;
}

const MEAN_WIND_MS = 300_000;

/** Whether the 5-minute mean wind blows from the blasting to the compressor's intake. A mean of bearings is one of vectors. */
function inPlume(see: Sight): Computed {
  const from = see.value('wind-direction');
  const speed = see.optional('wind-speed');
  const before = see.memory as MeanWind | undefined;
  const share = before ? 1 - Math.exp((before.atMs - see.atMs) / MEAN_WIND_MS) : 1;
  const mix = (old: number, now: number): number => old + (now - old) * share;
  const memory: MeanWind = {
    east: mix(before?.east ?? 0, Math.sin(from)),
    north: mix(before?.north ?? 0, Math.cos(from)),
    speed: mix(before?.speed ?? 0, speed ?? CALM * 2),
    atMs: see.atMs,
  };
  const bearing = see.setup.intakeBearing;
  if (bearing === null) return { reason: 'not-computable', memory };
  const { intake } = intakePlume(Math.atan2(memory.east, memory.north), bearing, memory.speed);
  return intake === 'cant-say' ? { reason: 'calm', memory } : { si: intake === 'in-plume' ? 1 : 0, memory };
}

/** In order: a point comes after those it needs. */
export const CLIMATE_POINTS: readonly ComputedPoint[] = [
  { id: 'ambient-dew-point', ways: [{ needs: AIR, compute: (see) => ({ si: dewPoint(see.value('ambient-temperature'), see.value('ambient-humidity')).temperature }) }] },
  { id: 'ambient-wet-bulb', ways: [{ needs: AIR, compute: (see) => ({ si: wetBulb(see.value('ambient-temperature'), see.value('ambient-humidity'), atmosphereAt(see.setup.elevation)) }) }] },
  { id: 'steel-margin', ways: [steel(steelMargin)] },
  { id: 'surface-humidity', ways: [steel(surfaceHumidity)] },
  { id: 'steel-time-left', ways: [{ needs: ['steel-margin'], compute: steelTimeLeft }] },
  { id: 'intake-in-plume', ways: [{ needs: ['wind-direction'], compute: inPlume }] },
];

import type { Figure } from '../headline.ts';
import { needPointKind } from '../../points/catalogue.ts';
import { type Series, type Stretch, held, lengthOf, whenever } from './series.ts';

/** How long a condition held, was missed, or could not be told. */
export interface ConditionOnShift {
  readonly point: string;
  readonly says: string;
  readonly side: 'at-least' | 'at-most';
  readonly limit: Figure;
  readonly met: Figure;
  readonly missed: Figure;
  readonly unknown: Figure;
  readonly worst: Figure | null;
  /** When it was missed. */
  readonly windows: readonly Stretch[];
  /** Where the limit comes from. */
  readonly source: string;
}

interface Condition {
  readonly point: string;
  readonly says: string;
  readonly side: 'at-least' | 'at-most';
  readonly limit: number;
  readonly source: string;
}

const PRACTICE = 'common practice, no source';

/** Moisture in the line and the breathing air. */
export const MOISTURE: readonly Condition[] = [
  { point: 'hose-condensation-margin', says: 'no water falls out in the hose', side: 'at-least', limit: 0, source: 'by definition of the pressure dew point' },
  { point: 'breathing-air-dryness', says: 'breathing air dry against frost and fog', side: 'at-least', limit: 5.6, source: 'the 10 °F rule for the atmospheric dew point, from memory' },
];

/** The steel and the weather. */
export const CLIMATE: readonly Condition[] = [
  { point: 'steel-margin', says: 'margin for the final blast and the prime', side: 'at-least', limit: 3, source: PRACTICE },
  { point: 'ambient-humidity', says: 'dry enough for the final blast and the prime', side: 'at-most', limit: 85, source: PRACTICE },
];

/** The conditions of whose points something was recorded. */
export function conditionsOn(conditions: readonly Condition[], find: (point: string) => Series | undefined, shift: Stretch): ConditionOnShift[] {
  return conditions.flatMap((condition) => {
    const series = find(condition.point);
    return series ? [conditionOn(condition, series, shift)] : [];
  });
}

function conditionOn({ point, says, side, limit, source }: Condition, series: Series, shift: Stretch): ConditionOnShift {
  const { unit } = needPointKind(point);
  const isMet = (value: number): boolean => (side === 'at-least' ? value >= limit : value <= limit);
  const minutes = (ms: number): Figure => ({ value: ms / 60_000, unit: 'min' });
  const windows = whenever(series, shift, (value) => !isMet(value));
  const metMs = lengthOf(whenever(series, shift, isMet));
  let worst: number | null = null;
  for (const { value } of held(series, shift)) if (value !== null && (worst === null || (side === 'at-least' ? value < worst : value > worst))) worst = value;
  return {
    point,
    says,
    side,
    limit: { value: limit, unit },
    met: minutes(metMs),
    missed: minutes(lengthOf(windows)),
    unknown: minutes(Math.max(0, shift.toMs - shift.fromMs - metMs - lengthOf(windows))),
    worst: worst === null ? null : { value: worst, unit },
    windows,
    source,
  };
}

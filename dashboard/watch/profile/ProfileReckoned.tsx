import type { Interval } from '../../../domain/quantity/propagate.ts';
import type { LiveNeedle } from '../../../domain/wire/live.ts';
import { formatClock } from '../../format/clock.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { type Frame, type Spot, yOf } from './profile-geometry.ts';
import { type AirLine, isAsExpected } from './read-line.ts';
import { type Reckoned, reachOf } from './reckon.ts';

export interface ProfileReckonedProps {
  readonly frame: Frame;
  readonly line: AirLine;
  readonly reckoned: Reckoned;
  readonly needle: LiveNeedle | null;
  readonly zone: string;
  readonly spots: readonly Spot[];
  readonly isNarrow: boolean;
  readonly inUnits: (psi: number) => string;
}

/** What is worked out beside what is measured, each with how far it may be off: drawn as an estimate, never as the line itself. */
export function ProfileReckoned({ frame, line, reckoned, needle, zone, spots, isNarrow, inUnits }: ProfileReckonedProps) {
  const { words } = useSeat();
  const from = spots.find((s) => s.id === 'machine');
  const at = spots.find((s) => s.id === 'nozzle');
  if (!at) return null;
  const { expected, computed } = reckoned;
  const about = (one: Interval): string => `${inUnits(one.value)} ± ${inUnits(reachOf(one))}`;
  return (
    <g>
      {expected ? <Estimate kind="expected" of={expected} from={from} at={at} frame={frame} text={isAsExpected(line) || computed ? null : words.line.expected(about(expected))} /> : null}
      {computed ? <Estimate kind="computed" of={computed} from={from} at={at} frame={frame} text={line.blasting === null ? words.line.computedIfFlow(about(computed)) : words.line.computed(about(computed))} /> : null}
      {needle ? (
        <text className="limit__text" data-testid="needle" {...placeOfNeedle(isNarrow, line, spots, at.x)} y={frame.heightPx - NEEDLE_UP_PX}>
          {words.line.needle(inUnits(needle.nozzle), formatClock(needle.atMs, zone, false))}
        </text>
      ) : null}
    </g>
  );
}

/** The words of a shut nozzle stand below it. */
const NEEDLE_UP_PX = 28;

/** Beyond the nozzle where there is room; on a phone before it, or before the machine while the blast hose is what is found wrong. */
function placeOfNeedle(isNarrow: boolean, line: AirLine, spots: readonly Spot[], nozzleX: number): { readonly x: number; readonly textAnchor: 'start' | 'end' } {
  if (!isNarrow) return { x: nozzleX + 16, textAnchor: 'start' };
  return line.segments.some((one) => one.to === 'nozzle' && one.alarm) ? { x: (spots[0]?.x ?? 0) + 8, textAnchor: 'start' } : { x: nozzleX - 16, textAnchor: 'end' };
}

interface EstimateProps {
  readonly kind: 'expected' | 'computed';
  readonly of: Interval;
  readonly from: Spot | undefined;
  readonly at: Spot;
  readonly frame: Frame;
  readonly text: string | null;
}

/** A line to the middle, a band as wide as it is uncertain, and at the nozzle its two ends. */
function Estimate({ kind, of, from, at, frame, text }: EstimateProps) {
  const [y, high, low] = [of.value, of.high, of.low].map((psi) => yOf(psi, frame)) as [number, number, number];
  const start = from?.y ?? null;
  return (
    <g data-testid={`${kind}-nozzle`}>
      {from && start !== null ? (
        <>
          <path className="estimate__band" d={`M${from.x} ${start}L${at.x} ${high}V${low}z`} />
          <path className="expected" d={`M${from.x} ${start}L${at.x} ${y}`} />
        </>
      ) : null}
      <path className="estimate__ends" d={`M${at.x - 12} ${high}h24M${at.x} ${high}V${low}M${at.x - 12} ${low}h24`} />
      <path className="expected__mark" data-kind={kind} d={`M${at.x - 9} ${y}l9 -9 9 9 -9 9z`} />
      {text === null ? null : (
        <text className="limit__text" x={at.x - 18} y={Math.max(14, high - 8)} textAnchor="end">
          {text}
        </text>
      )}
    </g>
  );
}

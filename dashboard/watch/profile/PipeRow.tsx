import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { inSystem } from '../../format/units.ts';
import { PartSymbol } from './PartSymbol.tsx';
import type { Spot, Stretch } from './profile-geometry.ts';

export interface PipeRowProps {
  readonly y: number;
  readonly spots: readonly Spot[];
  readonly stretches: readonly Stretch[];
  readonly isNarrow: boolean;
  readonly inUnits: (psi: number) => string;
}

/** Room that a station's figure takes to the right of its part. */
const FIGURE_PX = 150;

/** The parts of the line on their pipe, and on each stretch what it takes. */
export function PipeRow({ y, spots, stretches, isNarrow, inUnits }: PipeRowProps) {
  const { desk } = useSeat();
  const { units } = useStore(desk.preferences);
  const symbol = isNarrow ? '' : ` ${inSystem(0, '[psi]', 'pressure', units).symbol}`;
  return (
    <g>
      <path className="pipe" d={`M${spots[0]?.x ?? 0} ${y}H${spots.at(-1)?.x ?? 0}`} />
      {stretches.map((s) =>
        s.segment.lossPsi === null ? null : (
          <text key={s.segment.to} className="pipe__loss" data-priority={s.segment.alarm?.priority} x={(s.x1 + (isNarrow ? 0 : FIGURE_PX) + s.x2 - 10) / 2} y={y + 6} textAnchor="middle">
            {signed(inUnits(-s.segment.lossPsi))}
            {symbol}
          </text>
        ),
      )}
      {spots.map((spot) => (
        <PartSymbol key={spot.id} id={spot.id} x={spot.x} y={y} />
      ))}
    </g>
  );
}

/** Two gauges may disagree so that pressure seems to rise: that must not read as a loss. */
function signed(change: string): string {
  return Number(change) > 0 ? `+${change}` : change;
}

import type { LiveRig } from '../../../domain/wire/live.ts';
import { limitsOf } from '../../format/describe-point.ts';
import { type UnitSystem, formatNumber, inSystem } from '../../format/units.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { type Frame, xOf, yOf } from './profile-geometry.ts';
import type { AirLine } from './read-line.ts';
import { scaleTicks } from './scale-ticks.ts';

export interface ProfileLimitsProps {
  readonly frame: Frame;
  readonly line: AirLine;
  readonly rig: LiveRig;
  readonly units: UnitSystem;
  readonly isNarrow: boolean;
}

/** Common practice, no source; drawn where the server names no low limit of the site's own. */
const DEFAULT_SUPPLY_LOW_PSI = 50;

/** What the pressure is judged against: scale, vessel rating, low supply, wanted band. Each limit only where it applies. */
export function ProfileLimits({ frame, line, rig, units, isNarrow }: ProfileLimitsProps) {
  const { words } = useSeat();
  const text = (psi: number): string => {
    const measure = inSystem(psi, '[psi]', 'pressure', units);
    return formatNumber(measure.value, Number.isInteger(Number(measure.value.toFixed(1))) ? 0 : measure.decimals);
  };
  const supply = line.stations.find((s) => s.id === 'machine')?.point;
  const lows = (supply ? limitsOf(supply) : []).filter((l) => l.side === 'low').map((l) => l.limit);
  // The one that is passed first on the way down.
  const supplyLowPsi = lows.length > 0 ? Math.max(...lows) : DEFAULT_SUPPLY_LOW_PSI;
  const machineX = xOf('machine', line, frame);
  const labelX = xOf('compressor', line, frame) + 12;
  const nozzleX = xOf('nozzle', line, frame);
  const bandHalf = isNarrow ? 40 : 96;
  const left = isNarrow ? 28 : 34;
  return (
    <g>
      {scaleTicks(frame.topPsi, units).map((tick) => (
        <g key={tick.psi}>
          <path className="scale__rule" d={`M${left} ${yOf(tick.psi, frame)}H${frame.widthPx}`} />
          <text className="scale__text" x={left - 6} y={yOf(tick.psi, frame) + 4} textAnchor="end">
            {tick.text}
          </text>
        </g>
      ))}
      {rig.wanted ? (
        <g>
          <rect className="wanted" x={nozzleX - bandHalf} width={bandHalf * 2} y={yOf(rig.wanted[1], frame)} height={yOf(rig.wanted[0], frame) - yOf(rig.wanted[1], frame)} />
          <text
            className="limit__text"
            x={nozzleX + bandHalf}
            // On a phone what is expected needs the line just above the band.
            y={yOf(rig.wanted[1], frame) - (isNarrow ? 21 : 7)}
            textAnchor="end"
          >
            {words.line.wanted(text(rig.wanted[0]), text(rig.wanted[1]))}
          </text>
        </g>
      ) : null}
      {rig.vesselRating === null ? null : (
        <g>
          <path className="limit" d={`M${left} ${yOf(rig.vesselRating, frame)}H${machineX + 40}`} />
          <text className="limit__text" x={labelX} y={yOf(rig.vesselRating, frame) - 5}>
            {words.line.rated(text(rig.vesselRating))}
          </text>
        </g>
      )}
      <path className="limit" d={`M${left} ${yOf(supplyLowPsi, frame)}H${machineX + 40}`} />
      {/* Beyond the machine: before it, what is found wrong needs the room; and where that is beyond it too, it has the room. */}
      {line.segments.some((one) => one.to === 'nozzle' && one.alarm) ? null : (
        <text className="limit__text" x={machineX + 46} y={yOf(supplyLowPsi, frame) + 5}>
          {words.line.supplyLow(text(supplyLowPsi))}
        </text>
      )}
    </g>
  );
}

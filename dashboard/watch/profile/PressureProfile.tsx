import type { LiveAlarm, LiveRig } from '../../../domain/wire/live.ts';
import { findPointKind } from '../../../domain/points/catalogue.ts';
import { formatNumber, inSystem } from '../../format/units.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import { Reading } from '../../ui/Reading.tsx';
import { useSize } from '../../ui/use-size.ts';
import { PartSymbol } from './PartSymbol.tsx';
import { ProfileLimits } from './ProfileLimits.tsx';
import { ProfileLine } from './ProfileLine.tsx';
import { type Frame, layOutSpots, layOutStretches, topOfScale } from './profile-geometry.ts';
import { type StationId, readLine } from './read-line.ts';

/** Height of the row of parts below the drawing. */
const PARTS_PX = 46;
const HEAD_PX = 10;

/** Pressure drawn where it is: along the air path, above the parts it passes, with what each stretch takes. */
export function PressureProfile({ rig, alarms }: { rig: LiveRig; alarms: readonly LiveAlarm[] }) {
  const { desk, words } = useSeat();
  const { points } = useStore(desk.live);
  const { units } = useStore(desk.preferences);
  const [box, size] = useSize<HTMLDivElement>();

  const line = readLine(rig, points, alarms);
  const supply = line.stations.find((s) => s.id === 'machine')?.point;
  const supplyLowPsi = supply?.margin?.side === 'low' ? supply.margin.limit : DEFAULT_SUPPLY_LOW_PSI;
  const isNarrow = size.width < 560;
  const frame: Frame = {
    widthPx: size.width,
    heightPx: Math.max(40, size.height - PARTS_PX - HEAD_PX),
    sidePx: isNarrow ? 44 : 104,
    topPsi: topOfScale(line, [rig.vesselRating, rig.wanted?.[1] ?? null]),
  };
  const spots = layOutSpots(line, frame);
  const stretches = layOutStretches(line, frame);
  const inUnits = (psi: number): string => {
    const measure = inSystem(psi, '[psi]', 'pressure', units);
    return formatNumber(measure.value, measure.decimals);
  };
  const symbol = inSystem(0, '[psi]', 'pressure', units).symbol;
  const pipeY = frame.heightPx + HEAD_PX + 28;
  const names: Record<StationId, string> = { compressor: words.line.compressor, separator: words.line.separator, machine: words.line.machine, nozzle: words.line.nozzle };
  const blamed = stretches.find((s) => s.segment.alarm !== null);

  return (
    <div className="profile" data-testid={`profile-${rig.id}`} data-narrow={isNarrow || undefined}>
      <div className="profile__drawing" ref={box}>
        {size.width > 0 ? (
          <svg className="profile__svg" width={size.width} height={size.height} role="img" aria-label={words.line.description(rig.name)}>
            <g transform={`translate(0 ${HEAD_PX})`}>
              <ProfileLimits frame={frame} line={line} rig={rig} supplyLowPsi={supplyLowPsi} units={units} isNarrow={isNarrow} />
              <ProfileLine frame={frame} line={line} spots={spots} stretches={stretches} inUnits={inUnits} />
            </g>
            <path className="pipe" d={`M${spots[0]?.x ?? 0} ${pipeY}H${spots.at(-1)?.x ?? 0}`} />
            {stretches.map((s) =>
              s.segment.lossPsi === null ? null : (
                <text key={s.segment.to} className="pipe__loss" data-priority={s.segment.alarm?.priority} x={(s.x1 + s.x2) / 2} y={pipeY + 6} textAnchor="middle">
                  {formatNumber(-Math.round(s.segment.lossPsi * 10) / 10, 0) === '0' ? '0' : inUnits(-s.segment.lossPsi)}
                  {isNarrow ? '' : ` ${symbol}`}
                </text>
              ),
            )}
            {spots.map((spot) => (
              <PartSymbol key={spot.id} id={spot.id} x={spot.x} y={pipeY} />
            ))}
          </svg>
        ) : null}
        {blamed?.segment.alarm ? <Blame alarm={blamed.segment.alarm} left={blamed.x1} right={blamed.x2} isHigh={((blamed.y1 ?? 0) + (blamed.y2 ?? 0)) / 2 < frame.heightPx * 0.5} /> : null}
      </div>
      <div className="profile__stations">
        {spots.map((spot) => (
          <div className="profile__station" key={spot.id} data-edge={spot.id === 'compressor' ? 'first' : spot.id === 'nozzle' ? 'last' : undefined} style={{ left: `${spot.x}px` }}>
            <Reading
              label={names[spot.id]}
              point={spot.station.point}
              size="middle"
              priority={spot.station.priority}
              testId={`${rig.id}-${spot.station.point?.id ?? `no-${spot.id}`}`}
              hasMargin={findPointKind(spot.station.point?.id ?? '') !== undefined && !(spot.id === 'nozzle' && line.blasting === false)}
            />
          </div>
        ))}
      </div>
    </div>
  );
}

/** Common practice, no source; drawn where the server names no low limit of the site's own. */
const DEFAULT_SUPPLY_LOW_PSI = 50;

function Blame({ alarm, left, right, isHigh }: { alarm: LiveAlarm; left: number; right: number; isHigh: boolean }) {
  const { words } = useSeat();
  return (
    <div className="profile__blame" data-priority={alarm.priority} data-place={isHigh ? 'low' : 'high'} style={{ left: `${left + 12}px`, width: `${Math.max(120, right - left - 24)}px` }}>
      <PriorityMark priority={alarm.priority} />
      <span>
        {alarm.title}: {words.line.lossHere}
      </span>
    </div>
  );
}

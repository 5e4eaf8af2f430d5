import { use } from 'react';
import type { LiveAlarm, LiveRig } from '../../../domain/wire/live.ts';
import { medianSince } from '../../chart/column.ts';
import { formatNumber, inSystem } from '../../format/units.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { useStore } from '../../hooks/use-store.ts';
import { Reading } from '../../ui/Reading.tsx';
import { useSize } from '../../ui/use-size.ts';
import { RecentContext, columnOf } from '../recent/RecentTraces.tsx';
import { ShortTrace } from '../recent/ShortTrace.tsx';
import { Blame } from './Blame.tsx';
import { PipeRow } from './PipeRow.tsx';
import { ProfileLimits } from './ProfileLimits.tsx';
import { ProfileBodies, ProfileLine } from './ProfileLine.tsx';
import { ProfileReckoned } from './ProfileReckoned.tsx';
import { type Frame, layOutSpots, layOutStretches, topOfScale } from './profile-geometry.ts';
import { type StationId, readLine } from './read-line.ts';
import { reckonLine } from './reckon.ts';

/** Height of the row of parts below the drawing, and of the air above it. */
const PARTS_PX = 46;
const HEAD_PX = 12;
/** Height of the words under the parts, as the style sheet has it: one line, or on a phone the figures too. */
const WORDS_PX = { wide: 24, narrow: 90 };
/** Below this the figures don't fit beside the parts and stand under them. */
const NARROW_PX = 640;

/** What a cause is judged by: long enough for the line to breathe, short enough to follow it. */
const STEADY_MS = 30_000;

/** Pressure drawn where it is: along the air path, above the parts it passes, with what each stretch takes. */
export function PressureProfile({ rig, zone, alarms }: { rig: LiveRig; zone: string; alarms: readonly LiveAlarm[] }) {
  const { desk, words } = useSeat();
  const { points } = useStore(desk.live);
  const { units } = useStore(desk.preferences);
  const [box, size] = useSize<HTMLDivElement>();

  const { nowMs } = useReader();
  const line = readLine(rig, points, alarms);
  const recent = use(RecentContext);
  const reckoned = reckonLine(rig, line, nowMs, ({ point }) => (recent && point ? medianSince(columnOf(recent, point.owner, point.id), recent.toMs - STEADY_MS) : null));
  const isNarrow = size.width < NARROW_PX;
  const frame: Frame = {
    widthPx: size.width,
    heightPx: Math.max(40, size.height - PARTS_PX - HEAD_PX - (isNarrow ? WORDS_PX.narrow : WORDS_PX.wide)),
    leftPx: isNarrow ? 56 : 76,
    rightPx: isNarrow ? 46 : 150,
    topPsi: topOfScale(line, [rig.vesselRating, rig.wanted?.[1] ?? null, reckoned.expected?.high ?? null, reckoned.computed?.high ?? null]),
  };
  const spots = layOutSpots(line, frame);
  const stretches = layOutStretches(line, frame);
  const inUnits = (psi: number): string => {
    const measure = inSystem(psi, '[psi]', 'pressure', units);
    return formatNumber(measure.value, measure.decimals);
  };
  const names: Record<StationId, string> = { compressor: words.line.compressor, separator: words.line.separator, machine: words.line.machine, nozzle: words.line.nozzle };

  return (
    <div className="profile" data-testid={`profile-${rig.id}`} data-narrow={isNarrow || undefined} ref={box}>
      {size.width > 0 ? (
        <svg className="profile__svg" width={size.width} height={size.height} role="img" aria-label={words.line.description(rig.name)}>
          <g transform={`translate(0 ${HEAD_PX})`}>
            <ProfileBodies frame={frame} stretches={stretches} />
            <ProfileLimits frame={frame} line={line} rig={rig} units={units} isNarrow={isNarrow} />
            <ProfileReckoned frame={frame} line={line} reckoned={reckoned} needle={rig.needle} zone={zone} spots={spots} isNarrow={isNarrow} inUnits={inUnits} />
            <ProfileLine frame={frame} spots={spots} stretches={stretches} />
          </g>
          <PipeRow y={frame.heightPx + HEAD_PX + 28} spots={spots} stretches={stretches} isNarrow={isNarrow} inUnits={inUnits} />
        </svg>
      ) : null}
      <Blame stretches={stretches} frame={frame} verdict={reckoned.verdict} />
      <div className="profile__stations">
        {spots.map((spot) => (
          <div className="profile__station" key={spot.id} data-last={spot.id === 'nozzle' || undefined} style={{ '--x': `${spot.x}px` } as React.CSSProperties}>
            <Reading
              label={names[spot.id]}
              point={spot.station.point}
              trace={<ShortTrace point={spot.station.point} />}
              size="middle"
              priority={spot.station.priority}
              testId={`${rig.id}-${spot.station.point?.id ?? `no-${spot.id}`}`}
              // A nozzle that is shut has no pressure to be too low.
              hasMargin={!(spot.id === 'nozzle' && line.blasting === false)}
            />
          </div>
        ))}
      </div>
    </div>
  );
}

import { useId } from 'react';
import { useSeat } from '../../hooks/desk-context.ts';
import type { Frame, Spot, Stretch } from './profile-geometry.ts';

export interface ProfileLineProps {
  readonly frame: Frame;
  readonly spots: readonly Spot[];
  readonly stretches: readonly Stretch[];
}

/** What lies under the line. A stretch with an unknown end is hatched, never bridged. */
export function ProfileBodies({ frame, stretches }: Pick<ProfileLineProps, 'frame' | 'stretches'>) {
  const hatch = useId();
  return (
    <g>
      <defs>
        <pattern id={hatch} width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path className="hatch" d="M0 0V8" />
        </pattern>
      </defs>
      {stretches.map((s) => (
        <StretchBody key={s.segment.to} stretch={s} frame={frame} hatch={hatch} />
      ))}
    </g>
  );
}

/** The measured pressure itself. */
export function ProfileLine({ frame, spots, stretches }: ProfileLineProps) {
  return (
    <g>
      {spots.map((spot) => (
        <path key={spot.id} className="leader" data-unknown={spot.y === null || undefined} d={`M${spot.x} ${spot.y ?? 0}V${frame.heightPx + 4}`} />
      ))}
      {stretches.map((s) =>
        s.y1 === null || s.y2 === null ? null : (
          <g key={s.segment.to} data-priority={s.segment.alarm?.priority}>
            <path className="pressure__casing" d={`M${s.x1} ${s.y1}L${s.x2} ${s.y2}`} />
            <path className="pressure" data-abnormal={s.segment.alarm !== null || undefined} d={`M${s.x1} ${s.y1}L${s.x2} ${s.y2}`} />
          </g>
        ),
      )}
      {spots.map((spot) =>
        spot.y === null ? null : <circle key={spot.id} className="spot" data-priority={spot.station.priority ?? undefined} cx={spot.x} cy={spot.y} r="7" />,
      )}
    </g>
  );
}

function StretchBody({ stretch: s, frame, hatch }: { stretch: Stretch; frame: Frame; hatch: string }) {
  const { words } = useSeat();
  const middle = (s.x1 + s.x2) / 2;
  if (s.segment.kind === 'open') {
    return <rect className="unknown" x={s.x1 + 14} width={Math.max(0, s.x2 - s.x1 - 28)} y={frame.heightPx * 0.08} height={frame.heightPx * 0.92} fill={`url(#${hatch})`} />;
  }
  if (s.segment.kind === 'shut') {
    return (
      <text className="limit__text" x={middle} y={frame.heightPx - 10} textAnchor="middle">
        {words.line.nozzleShut}
      </text>
    );
  }
  return <path className="body" data-priority={s.segment.alarm?.priority} d={`M${s.x1} ${s.y1}L${s.x2} ${s.y2}V${frame.heightPx}H${s.x1}z`} />;
}

import { formatClockOnce } from '../../format/instant.ts';
import { PLOT_LEFT_PX } from '../../chart/chart-options.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import type { LaneProps } from './lane.ts';
import { packBands } from './pack-bands.ts';
import type { ShiftAlarms } from './use-shift-alarms.ts';

const ROW_PX = 30;
/** What a name takes beside its band. */
const NAME_PX = 250;
const GAP_PX = 10;
const LEAST_NAME_PX = 90;

/** Alarms as bands with their names, on the panels' own time axis. Those out of sight are counted, so that none is forgotten. */
export function AlarmLane({ alarms, stretch, zone, x, widthPx, onShow }: LaneProps & { alarms: ShiftAlarms }) {
  const { words } = useSeat();
  const perPx = (stretch.toMs - stretch.fromMs) / Math.max(1, widthPx);
  const seen = alarms.items.filter((one) => one.raisedAtMs <= stretch.toMs && (one.clearedAtMs ?? Infinity) >= stretch.fromMs);
  const clip = (ms: number): number => Math.min(stretch.toMs, Math.max(stretch.fromMs, ms));
  const rows = packBands(seen.map((one) => ({ fromMs: clip(one.raisedAtMs), toMs: clip(one.clearedAtMs ?? Infinity) })), NAME_PX * perPx);
  const height = Math.max(1, ...rows.map((row) => row + 1)) * ROW_PX;
  return (
    <div className="lane lane--alarms" data-testid="alarm-lane" role="group" aria-label={words.shifts.summary.alarmsOf}>
      <p className="lane__name">
        {words.shifts.trace.alarms} <span className="soft">{alarms.failure === null ? words.shifts.trace.alarmCount(seen.length, alarms.items.length) : words.shifts.failed(alarms.failure || words.shift.serverUnreachable)}</span>
      </p>
      <div className="lane__space" style={{ height }}>
        {seen.map((one, index) => {
          const left = x(clip(one.raisedAtMs));
          const width = Math.max(4, x(clip(one.clearedAtMs ?? Infinity)) - left);
          const roomAfter = PLOT_LEFT_PX + widthPx - left - width;
          // Where there is no room behind its band, the name stands before it.
          const isEnd = roomAfter < NAME_PX && left > roomAfter;
          // A band from edge to edge leaves no room beside it: its name stands on it.
          const isOver = Math.max(left, roomAfter) < LEAST_NAME_PX;
          const room = Math.max(0, (isOver ? width : isEnd ? left : roomAfter) - GAP_PX);
          return (
            <button
              key={one.id}
              type="button"
              className="alarm-band"
              data-priority={one.priority}
              data-end={(isEnd && !isOver) || undefined}
              data-over={isOver || undefined}
              style={isEnd && !isOver ? { top: (rows[index] ?? 0) * ROW_PX, right: `calc(100% - ${left + width}px)` } : { top: (rows[index] ?? 0) * ROW_PX, left }}
              aria-label={words.shifts.trace.alarmBand(words.priorities[one.priority], one.title, formatClockOnce(one.raisedAtMs, zone, true), one.clearedAtMs === null ? null : formatClockOnce(one.clearedAtMs, zone, true))}
              onClick={() => onShow(one.raisedAtMs, one.clearedAtMs ?? one.raisedAtMs)}
            >
              <span className="alarm-band__bar" style={{ width }} />
              <span className="alarm-band__name" style={{ maxWidth: room }}>
                <PriorityMark priority={one.priority} /> <span>{one.title}</span>
              </span>
            </button>
          );
        })}
      </div>
    </div>
  );
}

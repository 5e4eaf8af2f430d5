import { type KeyboardEvent, useMemo, useRef, useState } from 'react';
import { PLOT_LEFT_PX, PLOT_RIGHT_PX } from '../../chart/chart-options.ts';
import type { HandEntry, Shift } from '../../api/shift-shapes.ts';
import { mayAddToRecord } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { useSize } from '../../ui/use-size.ts';
import { NoteDialog } from '../one/NoteDialog.tsx';
import type { ShiftWhere } from '../site-names.ts';
import { AlarmLane } from './AlarmLane.tsx';
import { CursorWords } from './CursorWords.tsx';
import { MarkLane } from './MarkLane.tsx';
import { nextByKey } from './next-by-key.ts';
import { PANELS, SHADED, pointsOf } from './panels.ts';
import { type Stretch, within } from './stretch.ts';
import { TraceKeys } from './TraceKeys.tsx';
import { TracePanel } from './TracePanel.tsx';
import { useGestures } from './use-gestures.ts';
import { useRigPoints } from './use-rig-points.ts';
import { useShiftAlarms } from './use-shift-alarms.ts';
import { useStretch } from './use-stretch.ts';
import { useZone } from './use-zone.ts';

export interface TraceViewProps {
  readonly shift: Shift;
  readonly where: ShiftWhere;
  readonly entries: readonly HandEntry[];
  readonly query: URLSearchParams;
  readonly onChange: () => void;
}

/** A shift that has just begun is drawn as this long, and what was told last is drawn with so much behind it. */
const LEAST_MS = 1_000;
/** Ten minutes round an instant that a link points at. */
const ROUND_MS = 600_000;

/** The shift's trace: panels one above the other on one time axis, one cursor over all, alarms and notes where they happened. */
export function TraceView(props: TraceViewProps) {
  const { words } = useSeat();
  const { nowMs } = useReader();
  const [endMs, setEndMs] = useState<number | null>(null);
  const points = useRigPoints(props.shift.rig);
  const isKnown = props.shift.endedAt !== null || nowMs !== null;
  if (endMs === null && isKnown) setEndMs(endOf(props, nowMs ?? 0));
  if (endMs === null || points === null) return <p role="status">{words.shifts.loading}</p>;
  const bounds = { fromMs: Date.parse(props.shift.startedAt), toMs: endMs };
  return <TraceStage {...props} bounds={bounds} points={points} onRenew={props.shift.endedAt === null ? () => setEndMs(endOf(props, nowMs ?? endMs)) : null} />;
}

/** Of a running shift it is now, or as late as the last thing told on it: the page's own clock may be a little behind the server's. */
function endOf({ shift, entries }: TraceViewProps, nowMs: number): number {
  if (shift.endedAt !== null) return Date.parse(shift.endedAt);
  const told = [shift.startedAt, ...shift.notes.map((note) => note.placedAt), ...shift.handovers.map(({ at }) => at), ...entries.map(({ at }) => at)];
  return Math.max(nowMs, ...told.map((at) => Date.parse(at) + LEAST_MS));
}

interface TraceStageProps extends TraceViewProps {
  readonly bounds: Stretch;
  /** Ids of the points that the rig has. */
  readonly points: ReadonlySet<string>;
  /** Brings a running shift's trace up to now. */
  readonly onRenew: (() => void) | null;
}

function TraceStage({ shift, where, entries, query, bounds, points, onRenew, onChange }: TraceStageProps) {
  const { words, session } = useSeat();
  const zone = useZone(where.zone);
  const at = Date.parse(query.get('at') ?? '');
  const [stretch, setStretch] = useState<Stretch>(() => (Number.isNaN(at) ? bounds : within({ fromMs: at - ROUND_MS, toMs: at + ROUND_MS }, bounds)));
  const [cursorMs, setCursorMs] = useState<number | null>(Number.isNaN(at) ? null : at);
  const [marked, setMarked] = useState<readonly [number, number] | null>(null);
  const [noteAtMs, setNoteAtMs] = useState<number | null>(null);
  const [box, size] = useSize<HTMLDivElement>();
  const plots = useRef<HTMLDivElement>(null);
  const widthPx = Math.max(0, size.width - PLOT_LEFT_PX - PLOT_RIGHT_PX);
  const panels = useMemo(() => PANELS.map((panel) => ({ ...panel, points: panel.points.filter((id) => points.has(id)) })).filter((panel) => panel.points.length > 0), [points]);
  const asked = useMemo(() => [...pointsOf(panels), ...(points.has(SHADED) ? [SHADED] : [])], [panels, points]);
  const { trace, isLoading, failure } = useStretch(shift.id, asked, stretch, widthPx);
  const alarms = useShiftAlarms(shift, bounds);
  useGestures(plots, { stretch, bounds, onStretch: setStretch, onCursor: setCursorMs, onMark: setMarked });
  const mayNote = mayAddToRecord(session.role) && shift.signOffs.length === 0;
  const onKey = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === 'n' && mayNote && cursorMs !== null) setNoteAtMs(cursorMs);
    else {
      const next = nextByKey({ stretch, cursorMs }, event.key, event.shiftKey, bounds);
      if (!next) return;
      setStretch(next.stretch);
      setCursorMs(next.cursorMs);
    }
    event.preventDefault();
  };
  const x = (ms: number): number => PLOT_LEFT_PX + ((ms - stretch.fromMs) / (stretch.toMs - stretch.fromMs)) * widthPx;
  const isCursorIn = cursorMs !== null && cursorMs >= stretch.fromMs && cursorMs <= stretch.toMs;
  const lane = { stretch, zone, x, widthPx, onShow: (atMs: number, toMs: number) => { setCursorMs(atMs); setStretch(within({ fromMs: atMs - ROUND_MS, toMs: Math.max(toMs, atMs) + ROUND_MS }, bounds)); } };
  return (
    <section className="viewer" data-testid="trace-view" data-loading={isLoading || undefined} aria-label={words.shifts.tabNames.trace}>
      <TraceKeys stretch={stretch} bounds={bounds} cursorMs={cursorMs} onStretch={setStretch} onRenew={onRenew} onNote={mayNote && cursorMs !== null ? () => setNoteAtMs(cursorMs) : null} siteZone={where.zone} />
      <CursorWords stretch={stretch} cursorMs={isCursorIn ? cursorMs : null} zone={zone} isLoading={isLoading} failure={failure} />
      <div className="viewer__stage" ref={box}>
        <AlarmLane {...lane} alarms={alarms} />
        <MarkLane {...lane} shift={shift} entries={entries} />
        <div className="viewer__plots" ref={plots} tabIndex={0} role="application" aria-label={words.shifts.trace.keysAbout} data-testid="trace-plots" onKeyDown={onKey}>
          {panels.map((panel) => (
            <TracePanel key={panel.key} panel={panel} trace={trace} stretch={stretch} zone={zone} cursorMs={isCursorIn ? cursorMs : null} rig={where.rig} />
          ))}
        </div>
        {isCursorIn ? <div className="viewer__cursor" data-testid="cursor" style={{ transform: `translateX(${x(cursorMs)}px)` }} /> : null}
        {marked ? <div className="viewer__marked" style={{ left: PLOT_LEFT_PX + marked[0], width: marked[1] - marked[0] }} /> : null}
      </div>
      <p className="soft viewer__legend">{words.shifts.trace.legend}</p>
      <p className="soft viewer__legend">{words.shifts.trace.hint}</p>
      {noteAtMs === null ? null : <NoteDialog shift={shift} zone={zone} placedAtMs={Math.round(noteAtMs)} onDone={onChange} onClose={() => setNoteAtMs(null)} />}
    </section>
  );
}

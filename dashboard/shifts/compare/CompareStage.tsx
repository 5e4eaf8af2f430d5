import { type KeyboardEvent, useMemo, useRef, useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import type { Shift } from '../../api/shift-shapes.ts';
import { PLOT_LEFT_PX, PLOT_RIGHT_PX } from '../../chart/chart-options.ts';
import { timeLabels } from '../../chart/time-labels.ts';
import { formatDate } from '../../format/day.ts';
import { formatSpan } from '../../format/instant.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { routeHref } from '../../page/route.ts';
import { useSize } from '../../ui/use-size.ts';
import { MadeUp } from '../MadeUp.tsx';
import { shiftHref } from '../shift-route.ts';
import { whereOfShift } from '../site-names.ts';
import { nextByKey } from '../trace/next-by-key.ts';
import { PANELS } from '../trace/panels.ts';
import type { Stretch } from '../trace/stretch.ts';
import { TraceKeys } from '../trace/TraceKeys.tsx';
import { useGestures } from '../trace/use-gestures.ts';
import { useStretch } from '../trace/use-stretch.ts';
import { ComparePanel } from './ComparePanel.tsx';
import { ownStretch } from './elapsed.ts';

export interface CompareStageProps {
  readonly shifts: readonly [Shift, Shift];
  readonly points: readonly [ReadonlySet<string>, ReadonlySet<string>];
  readonly sites: readonly LiveSite[];
  readonly nowMs: number;
}

export function CompareStage({ shifts, points, sites, nowMs }: CompareStageProps) {
  const { words } = useSeat();
  // Frozen when opened: a running shift's end must not move the scale while it is looked at.
  const [spans] = useState(() => shifts.map((one) => [Date.parse(one.startedAt), one.endedAt === null ? nowMs : Date.parse(one.endedAt)] as const) as [readonly [number, number], readonly [number, number]]);
  const bounds = useMemo<Stretch>(() => ({ fromMs: 0, toMs: Math.max(...spans.map(([from, to]) => to - from)) }), [spans]);
  const [stretch, setStretch] = useState(bounds);
  const [cursorMs, setCursorMs] = useState<number | null>(null);
  const [marked, setMarked] = useState<readonly [number, number] | null>(null);
  const [box, size] = useSize<HTMLDivElement>();
  const plots = useRef<HTMLDivElement>(null);
  const widthPx = Math.max(0, size.width - PLOT_LEFT_PX - PLOT_RIGHT_PX);
  // What a panel is about, and only what both rigs have: a line alone can't be compared.
  const panels = PANELS.filter((panel) => points.every((has) => has.has(panel.points[0] ?? '')));
  const asked = panels.map((panel) => panel.points[0] ?? '');
  const first = useStretch(shifts[0].id, asked, ownStretch(stretch, ...spans[0]), widthPx);
  const second = useStretch(shifts[1].id, asked, ownStretch(stretch, ...spans[1]), widthPx);
  useGestures(plots, { stretch, bounds, onStretch: setStretch, onCursor: setCursorMs, onMark: setMarked });
  const onKey = (event: KeyboardEvent): void => {
    const next = event.ctrlKey || event.metaKey || event.altKey ? null : nextByKey({ stretch, cursorMs }, event.key, event.shiftKey, bounds);
    if (!next) return;
    setStretch(next.stretch);
    setCursorMs(next.cursorMs);
    event.preventDefault();
  };
  const isCursorIn = cursorMs !== null && cursorMs >= stretch.fromMs && cursorMs <= stretch.toMs;
  const failure = first.failure ?? second.failure;
  return (
    <section className="viewer" data-testid="compare-view" data-loading={first.isLoading || second.isLoading || undefined} aria-label={words.shifts.compare.title}>
      <nav className="tabs tabs--inner" aria-label={words.shifts.tabs}>
        <a className="tabs__tab tabs__tab--back" href={routeHref('shifts')}>
          <span aria-hidden="true">←</span> <span>{words.shifts.all}</span>
        </a>
        <span className="tabs__tab" aria-current="page">
          {words.shifts.compare.title}
        </span>
      </nav>
      <ol className="compare__names">
        {shifts.map((one, index) => {
          const where = whereOfShift(one, sites);
          return (
            <li key={one.id} data-line={index === 0 ? 'full' : 'dashed'} data-made-up={one.drill || one.replay || undefined}>
              <a href={shiftHref(one.id)}>
                <strong>{where.rigName}</strong>, {formatDate(spans[index]?.[0] ?? 0, where.zone, words)}, {formatSpan(spans[index]?.[0] ?? 0, spans[index]?.[1] ?? 0, where.zone, words)}
              </a>{' '}
              <MadeUp drill={one.drill} replay={one.replay} />
            </li>
          );
        })}
      </ol>
      <TraceKeys stretch={stretch} bounds={bounds} cursorMs={cursorMs} onStretch={setStretch} onRenew={null} onNote={null} siteZone={null} />
      <p className="viewer__words">
        <strong data-testid="cursor-time">{isCursorIn ? words.shifts.compare.into(timeLabels([Math.round(cursorMs / 1000) * 1000], 'UTC', true)[0] ?? '') : words.shifts.trace.noCursor}</strong>
        <span className="soft" role="status">
          {failure !== null ? words.shifts.failed(words.problem(failure) || words.shift.serverUnreachable) : ''}
        </span>
      </p>
      <div className="viewer__stage" ref={box}>
        <div className="viewer__plots" ref={plots} tabIndex={0} role="application" aria-label={words.shifts.trace.keysAbout} onKeyDown={onKey}>
          {panels.map((panel) => (
            <ComparePanel key={panel.key} panel={panel} traces={[first.trace, second.trace]} starts={[spans[0][0], spans[1][0]]} stretch={stretch} cursorMs={isCursorIn ? cursorMs : null} />
          ))}
        </div>
        {isCursorIn ? <div className="viewer__cursor" style={{ transform: `translateX(${PLOT_LEFT_PX + ((cursorMs - stretch.fromMs) / (stretch.toMs - stretch.fromMs)) * widthPx}px)` }} /> : null}
        {marked ? <div className="viewer__marked" style={{ left: PLOT_LEFT_PX + marked[0], width: marked[1] - marked[0] }} /> : null}
      </div>
      <p className="soft viewer__legend">{words.shifts.compare.legend}</p>
    </section>
  );
}

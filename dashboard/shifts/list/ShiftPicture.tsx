import { useEffect, useRef, useState } from 'react';
import type { ShiftCard } from '../../api/shift-shapes.ts';
import { type RecordedTrace, readStretch } from '../../api/shifts.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { bandPath } from './picture-paths.ts';

const WIDTH = 240;
const PRESSURE = { top: 2, height: 40 };
const CO = { top: 48, height: 18 };
const HEIGHT = 68;
/** psi, gauge: all lines of a list on one scale, so that one can be told from the other. */
const PRESSURE_TOP = 125;
const CO_TOP = 15;
const CO_LIMIT = 10;
/** Ended shifts do not change: their pictures are kept while the page is open. */
const kept = new Map<string, RecordedTrace>();

/** Small picture of a shift: nozzle pressure above, carbon monoxide below, each on the same scale in every line. No canvas: a list has many. */
export function ShiftPicture({ card, wanted }: { card: ShiftCard; wanted: readonly [low: number, high: number] | null }) {
  const { words } = useSeat();
  const { nowMs } = useReader();
  const box = useRef<HTMLSpanElement>(null);
  const [trace, setTrace] = useState<RecordedTrace | null>(kept.get(card.id) ?? null);
  const fromMs = Date.parse(card.startedAt);
  const endMs = card.endedAt === null ? nowMs : Date.parse(card.endedAt);
  const toMs = useRef(endMs);
  toMs.current = endMs;
  const isReady = endMs !== null;
  useEffect(() => {
    const element = box.current;
    if (!element || !isReady || kept.has(card.id)) return;
    // Only what is looked at is fetched.
    const watcher = new IntersectionObserver((seen) => {
      if (!seen.some((one) => one.isIntersecting)) return;
      watcher.disconnect();
      const stretch = { shift: card.id, points: ['nozzle-pressure', 'breathing-air-co'], fromMs, toMs: Math.max(fromMs + 1000, toMs.current ?? 0), widthPx: WIDTH };
      void readStretch(stretch).then((answer) => {
        if (!answer.ok) return;
        if (card.endedAt !== null) kept.set(card.id, answer.body);
        setTrace(answer.body);
      });
    });
    watcher.observe(element);
    return () => watcher.disconnect();
  }, [card.id, card.endedAt, fromMs, isReady]);
  const find = (id: string) => trace?.series.find((series) => series.id === id);
  const scale = { fromMs: trace?.fromMs ?? 0, toMs: trace?.toMs ?? 1, width: WIDTH };
  const y = (psi: number): number => PRESSURE.top + PRESSURE.height * (1 - Math.min(1, psi / PRESSURE_TOP));
  return (
    <span className="shift-picture" ref={box} data-drawn={trace !== null || undefined}>
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none" role="img" aria-label={words.shifts.picture}>
        {wanted ? <rect className="shift-picture__wanted" x="0" width={WIDTH} y={y(wanted[1])} height={y(wanted[0]) - y(wanted[1])} /> : null}
        <path className="shift-picture__base" d={`M0 ${PRESSURE.top + PRESSURE.height}H${WIDTH}M0 ${CO.top + CO.height}H${WIDTH}`} />
        <path className="shift-picture__limit" d={`M0 ${CO.top + CO.height * (1 - CO_LIMIT / CO_TOP)}H${WIDTH}`} />
        <path className="shift-picture__line" d={bandPath(find('nozzle-pressure'), { ...scale, ...PRESSURE, high: PRESSURE_TOP })} />
        <path className="shift-picture__line" d={bandPath(find('breathing-air-co'), { ...scale, ...CO, high: CO_TOP })} />
      </svg>
    </span>
  );
}

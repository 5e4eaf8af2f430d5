import { useMemo } from 'react';
import { findPointKind } from '../../domain/points/catalogue.ts';
import type { LiveRig } from '../../domain/wire/live.ts';
import { alignSeries } from '../chart/align-series.ts';
import { blastingSpans } from '../chart/blasting-spans.ts';
import type { ChartMoment } from '../chart/chart-options.ts';
import type { Column } from '../chart/column.ts';
import { useShiftHistory } from '../chart/use-shift-history.ts';
import { limitsOf } from '../format/describe-point.ts';
import { type UnitSystem, inSystem } from '../format/units.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useReader } from '../hooks/use-reader.ts';
import { useStore } from '../hooks/use-store.ts';
import { findRigPoint } from '../link/site-facts.ts';
import { useSize } from '../ui/use-size.ts';
import { ShiftTrace } from './ShiftTrace.tsx';

/** Live ends move once in so many seconds: at a shift's scale a pixel is many seconds wide. */
const REDRAW_MS = 2_000;

/** The shift's traces of one rig, on one time axis. */
export function ShiftSoFar({ rig, zone, isLive }: { rig: LiveRig; zone: string; isLive: boolean }) {
  const { desk, words } = useSeat();
  const { nowMs } = useReader();
  const { points } = useStore(desk.live);
  const { units, theme } = useStore(desk.preferences);
  const [box, size] = useSize<HTMLDivElement>();
  const endMs = nowMs === null ? null : Math.floor(nowMs / REDRAW_MS) * REDRAW_MS;
  const history = useShiftHistory(rig, Math.round(size.width < STACKED_BELOW_PX ? size.width : size.width / CHARTS_ABREAST), endMs, isLive);
  const { columns } = history;

  const moment = useMemo<ChartMoment>(
    () => ({ fromMs: history.fromMs, toMs: endMs ?? history.fromMs, spans: blastingSpans(columns.blasting, endMs ?? history.fromMs) }),
    [columns.blasting, history.fromMs, endMs],
  );
  const shown = useMemo(() => {
    const inUnits = (id: keyof typeof columns): Column => columnInUnits(columns[id], id, units);
    return {
      pressure: alignSeries([inUnits('supply-pressure'), inUnits('nozzle-pressure')]),
      co: alignSeries([inUnits('breathing-air-co')]),
      steel: alignSeries([inUnits('steel-margin')]),
    };
  }, [columns, units]);
  const limitOf = (id: string): readonly number[] => {
    const point = findRigPoint(points, rig, id);
    return point ? limitsOf(point).map((l) => measure(l.limit, id, units).value) : [];
  };
  const common = { zone, theme, moment };
  const symbolOf = (id: string): string => measure(0, id, units).symbol;
  return (
    <section className="shift" aria-label={`${words.shift.region}, ${rig.name}`} data-testid={`shift-${rig.id}`}>
      <h3 className="shift__title">
        {rig.name} <span className="rig__what">{words.shift.region}</span> <span className="soft">{words.shift.shaded}</span>
        {typeof history.status === 'object' ? <span className="shift__note">{words.shift.noHistory(words.problem(history.status.failed) || words.shift.serverUnreachable)}</span> : null}
        {history.status === 'loading' ? <span className="shift__note">{words.shift.loading}</span> : null}
      </h3>
      <div className="shift__charts" ref={box}>
        <ShiftTrace {...common} title={words.shift.pressure} unit={symbolOf('nozzle-pressure')} data={shown.pressure} lines={[{ strong: false }, { strong: true }]} range={[0, measure(130, 'nozzle-pressure', units).value]} limits={rig.wanted ? [measure(rig.wanted[0], 'nozzle-pressure', units).value] : []} names={[words.shift.supply, words.shift.nozzle]} />
        <ShiftTrace {...common} title={words.shift.co} unit={symbolOf('breathing-air-co')} data={shown.co} lines={[{ strong: true }]} range={[0, 15]} limits={limitOf('breathing-air-co')} />
        <ShiftTrace {...common} title={words.shift.steel} unit={symbolOf('steel-margin')} data={shown.steel} lines={[{ strong: true }]} range={[0, measure(10, 'steel-margin', units).value]} limits={limitOf('steel-margin')} />
      </div>
    </section>
  );
}

const CHARTS_ABREAST = 3;
/** As the style sheet has it. */
const STACKED_BELOW_PX = 736;

function measure(value: number, id: string, units: UnitSystem) {
  const kind = findPointKind(id);
  return kind ? inSystem(value, kind.unit, kind.dimension, units) : { value, symbol: '', decimals: 0 };
}

function columnInUnits(column: Column, id: string, units: UnitSystem): Column {
  const turn = (value: number | null): number | null => (value === null ? null : measure(value, id, units).value);
  return { atMs: column.atMs, min: column.min.map(turn), max: column.max.map(turn) };
}

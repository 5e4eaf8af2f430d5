import { timeSplits } from '../../chart/time-splits.ts';
import { formatClock } from '../../format/clock.ts';
import { formatDay } from '../../format/day.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useSize } from '../../ui/use-size.ts';
import type { Window } from './count-windows.ts';
import { rateBars } from './rate-bars.ts';

const HEIGHT = 190;
const LEFT = 32;
const BOTTOM = 24;
const TOP = 18;
const LEAST_BAR_PX = 5;
const LEAST_LABEL_PX = 84;
const DAY_MS = 86_400_000;

export interface RatePlotProps {
  readonly windows: readonly Window[];
  readonly floodFrom: number;
  readonly zone: string;
}

/** Alarms in each ten minutes. What reaches the flood stands in full ink, so that it is found without reading. */
export function RatePlot({ windows, floodFrom, zone }: RatePlotProps) {
  const { words } = useSeat();
  const [box, size] = useSize<HTMLDivElement>();
  const bars = rateBars(windows, Math.floor((size.width - LEFT) / LEAST_BAR_PX));
  const fromMs = bars[0]?.fromMs ?? 0;
  const toMs = bars.at(-1)?.toMs ?? 1;
  const most = Math.max(floodFrom * 1.25, ...bars.map((b) => b.count));
  const x = (ms: number): number => LEFT + ((ms - fromMs) / (toMs - fromMs)) * (size.width - LEFT);
  const y = (count: number): number => HEIGHT - BOTTOM - (count / most) * (HEIGHT - BOTTOM - TOP);
  const isLong = toMs - fromMs > 2 * DAY_MS;
  const splits = isLong ? daySplits(fromMs, toMs, Math.floor(size.width / LEAST_LABEL_PX)) : timeSplits(fromMs, toMs, zone, Math.floor(size.width / LEAST_LABEL_PX));
  return (
    <div ref={box} className="plot" data-testid="rate-plot">
      {size.width > 0 && bars.length > 0 ? (
        <svg width={size.width} height={HEIGHT} role="img" aria-label={words.metrics.rate}>
          {splits.map((ms) => (
            <g key={ms}>
              <path className="plot__rule" d={`M${x(ms)} ${TOP}V${HEIGHT - BOTTOM}`} />
              <text className="plot__text" x={x(ms)} y={HEIGHT - 7} textAnchor={x(ms) > size.width - 30 ? 'end' : 'middle'}>
                {isLong ? formatDay(ms, zone, words) : formatClock(ms, zone, false)}
              </text>
            </g>
          ))}
          {bars.map((bar) => (
            <rect key={bar.fromMs} className="plot__bar" data-flood={bar.count >= floodFrom || undefined} x={x(bar.fromMs) + 0.5} width={Math.max(1, x(bar.toMs) - x(bar.fromMs) - 1)} y={y(bar.count)} height={HEIGHT - BOTTOM - y(bar.count)} />
          ))}
          <path className="plot__base" d={`M${LEFT} ${HEIGHT - BOTTOM}H${size.width}`} />
          <path className="plot__limit" d={`M${LEFT} ${y(floodFrom)}H${size.width}`} />
          <text className="plot__text plot__text--on" x={size.width} y={y(floodFrom) - 5} textAnchor="end">
            {words.metrics.floodAt(floodFrom)}
          </text>
          {[0, floodFrom, Math.round(most)].filter((v, i, all) => all.indexOf(v) === i && (v === 0 || v === floodFrom || most > floodFrom * 1.6)).map((v) => (
            <text key={v} className="plot__text" x={LEFT - 6} y={y(v) + 4} textAnchor="end">
              {v}
            </text>
          ))}
        </svg>
      ) : null}
    </div>
  );
}

/** Over days the marks are days, as many as there is room for. */
function daySplits(fromMs: number, toMs: number, atMost: number): readonly number[] {
  const days = Math.ceil((toMs - fromMs) / DAY_MS / Math.max(1, atMost));
  const splits: number[] = [];
  for (let ms = Math.ceil(fromMs / DAY_MS) * DAY_MS; ms < toMs; ms += days * DAY_MS) splits.push(ms);
  return splits;
}

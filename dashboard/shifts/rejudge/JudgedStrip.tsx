import type { JudgedAlarm, Rejudged } from '../../api/rejudge.ts';
import { timeLabels } from '../../chart/time-labels.ts';
import { timeSplits } from '../../chart/time-splits.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useSize } from '../../ui/use-size.ts';

export interface JudgedStripProps {
  readonly rejudged: Rejudged;
  readonly fromMs: number;
  readonly toMs: number;
  readonly zone: string;
}

const ROW = 26;
const TOP = 4;
const LEFT = 70;
const LEAST_LABEL_PX = 84;
const LEAST_PX = 3;

/** This shift's alarms as they stood, above those that would have stood. */
export function JudgedStrip({ rejudged, fromMs, toMs, zone }: JudgedStripProps) {
  const { words } = useSeat();
  const [box, size] = useSize<HTMLDivElement>();
  const told = words.shifts.rejudge;
  const x = (ms: number): number => LEFT + ((Math.min(toMs, Math.max(fromMs, ms)) - fromMs) / (toMs - fromMs)) * (size.width - LEFT);
  const splits = timeSplits(fromMs, toMs, zone, Math.max(2, Math.floor((size.width - LEFT) / LEAST_LABEL_PX)));
  const labels = timeLabels(splits, zone, false);
  const bars = (alarms: readonly JudgedAlarm[], row: number) =>
    alarms
      .filter((one) => Date.parse(one.raisedAt) <= toMs && Date.parse(one.raisedAt) >= fromMs)
      .map((one, index) => {
        const left = x(Date.parse(one.raisedAt));
        const right = one.clearedAt === null ? size.width : x(Date.parse(one.clearedAt));
        return <rect key={index} className="strip-bar" data-audible={one.audible || undefined} x={left} y={TOP + row * ROW + 4} width={Math.max(LEAST_PX, right - left)} height={ROW - 8} />;
      });
  return (
    <div ref={box} className="judged-strip">
      {size.width > 0 ? (
        <svg width={size.width} height={TOP + ROW * 2 + 24} role="img" aria-label={told.strip}>
          {splits.map((ms, index) => (
            <g key={ms}>
              <path className="plot__rule" d={`M${x(ms)} ${TOP}V${TOP + ROW * 2}`} />
              <text className="plot__text" x={x(ms)} y={TOP + ROW * 2 + 16} textAnchor={x(ms) > size.width - 30 ? 'end' : 'middle'}>
                {labels[index]}
              </text>
            </g>
          ))}
          {[told.before, told.after].map((name, row) => (
            <g key={name}>
              <path className="plot__base" d={`M${LEFT} ${TOP + (row + 1) * ROW}H${size.width}`} />
              <text className="plot__text" x="0" y={TOP + row * ROW + 18}>
                {name}
              </text>
            </g>
          ))}
          {bars(rejudged.before.alarms, 0)}
          {bars(rejudged.after.alarms, 1)}
        </svg>
      ) : null}
    </div>
  );
}

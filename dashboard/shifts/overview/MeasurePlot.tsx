import type { LiveSite } from '../../../domain/wire/live.ts';
import type { ShiftCard } from '../../api/shift-shapes.ts';
import { dayMarks } from './day-marks.ts';
import { formatDate, formatDay } from '../../format/day.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useSize } from '../../ui/use-size.ts';
import { shiftHref } from '../shift-route.ts';
import { whereOfShift } from '../site-names.ts';
import { type Measure, scaleOf, scaleText } from './measures.ts';
import { RIG_SHAPES, rigOrder } from './rig-marks.ts';

export interface MeasurePlotProps {
  readonly measure: Measure;
  readonly cards: readonly ShiftCard[];
  readonly sites: readonly LiveSite[];
  readonly fromMs: number;
  readonly toMs: number;
}

const HEIGHT = 190;
const LEFT = 46;
const RIGHT = 14;
const TOP = 10;
const BOTTOM = 24;
const LEAST_LABEL_PX = 84;

/** One number of every shift over time; a shape a rig, joined where one follows from the other. Each mark opens its shift. */
export function MeasurePlot({ measure, cards, sites, fromMs, toMs }: MeasurePlotProps) {
  const { words } = useSeat();
  const [box, size] = useSize<HTMLDivElement>();
  const rigs = rigOrder(cards);
  const marks = cards
    .flatMap((card) => {
      const value = card.headline && measure.of(card.headline);
      return value === null || card.headline === null ? [] : [{ card, value, atMs: Date.parse(card.startedAt), text: measure.say(card.headline), stands: measure.stands(card.headline) }];
    })
    .sort((a, b) => a.atMs - b.atMs);
  const scale = scaleOf(marks.map((mark) => mark.value), measure.range);
  const zone = sites[0]?.zone ?? 'UTC';
  const x = (ms: number): number => LEFT + ((ms - fromMs) / (toMs - fromMs)) * (size.width - LEFT - RIGHT);
  const y = (value: number): number => HEIGHT - BOTTOM - ((value - scale.low) / (scale.high - scale.low)) * (HEIGHT - BOTTOM - TOP);
  return (
    <section className="measure" aria-label={measure.title} data-testid={`measure-${measure.key}`}>
      <h2>
        {measure.title} <span className="soft">{measure.unit}</span>
      </h2>
      <div ref={box} className="measure__plot">
        {size.width > 0 ? (
          <svg width={size.width} height={HEIGHT} role="group" aria-label={measure.title}>
            {scale.marks.map((mark) => (
              <g key={mark}>
                <path className="plot__rule" d={`M${LEFT} ${y(mark)}H${size.width - RIGHT}`} />
                <text className="plot__text" x={LEFT - 8} y={y(mark) + 4} textAnchor="end">
                  {scaleText(mark, measure.decimals)}
                </text>
              </g>
            ))}
            {dayMarks(fromMs, toMs, zone, Math.floor(size.width / LEAST_LABEL_PX)).map((ms) => (
              <text key={ms} className="plot__text" x={x(ms)} y={HEIGHT - 6} textAnchor="middle">
                {formatDay(ms, zone, words).replace(/^\S+ /, '')}
              </text>
            ))}
            {(measure.isJoined ? rigs : []).map((rig) => (
              <path key={rig} className="measure__join" d={marks.filter((mark) => mark.card.rig === rig).map((mark, index) => `${index === 0 ? 'M' : 'L'}${x(mark.atMs).toFixed(1)} ${y(mark.value).toFixed(1)}`).join('')} />
            ))}
            {marks.map(({ card, value, atMs, text, stands }) => {
              const where = whereOfShift(card, sites);
              const says = `${where.rigName}, ${formatDate(atMs, where.zone, words)}: ${text}`;
              return (
                <a key={card.id} href={shiftHref(card.id)} aria-label={says} className="measure__mark" data-stands={stands || undefined} data-made-up={card.drill || card.replay || undefined}>
                  <title>{says}</title>
                  <circle className="measure__target" cx={x(atMs)} cy={y(value)} r="13" />
                  <path d={RIG_SHAPES[rigs.indexOf(card.rig) % RIG_SHAPES.length]} transform={`translate(${x(atMs).toFixed(1)} ${y(value).toFixed(1)})`} />
                </a>
              );
            })}
          </svg>
        ) : null}
        {marks.length === 0 ? <p className="soft">{words.shifts.overviewPage.nothing}</p> : null}
      </div>
    </section>
  );
}

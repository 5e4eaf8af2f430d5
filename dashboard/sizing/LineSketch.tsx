import type { Sized } from '../../domain/air/sizing/size-line.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { useSize } from '../ui/use-size.ts';
import { PartSymbol } from '../watch/profile/PartSymbol.tsx';
import { bare, figure } from './say-sized.ts';

const PSI = 6894.757293168361;
/** Top of the scale, Pa: above every pressure that can be set. */
const TOP = 165 * PSI;
const STATIONS = ['compressor', 'separator', 'machine', 'nozzle'] as const;
/** Height of the parts under the drawing, px. */
const PARTS_PX = 48;

export interface LineSketchProps {
  readonly a: Sized | null;
  readonly b: Sized | null;
  readonly edited: 'a' | 'b';
}

/** The line as reckoned: pressure drawn above the parts it passes, with what is not known at the nozzle. */
export function LineSketch({ a, b, edited }: LineSketchProps) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const [box, size] = useSize<HTMLDivElement>();
  const { width, height } = size;
  const isNarrow = width < 640;
  const floor = height - PARTS_PX;
  // Each part stands at the head of its own column of sliders.
  const x = (index: number): number => (isNarrow ? 34 + (index * (width - 76)) / 3 : (index * width) / 4 + 26);
  const y = (pascal: number): number => floor * (1 - Math.min(Math.max(pascal, 0), TOP) / TOP);
  const shown = edited === 'b' && b ? b : a;
  const other = shown === a ? b : a;
  const points = (sized: Sized): string => sized.places.map(({ pressure }, index) => `${x(index)} ${y(pressure)}`).join('L');
  return (
    <div className="sketch" ref={box} data-testid="sketch">
      {width > 0 ? (
        <svg width={width} height={height} role="img" aria-label={told(words.sizing.drawing, shown, units)}>
          {[0, 50, 100, 150].map((psi) => (
            <g key={psi}>
              <path className="scale__rule" d={`M0 ${y(psi * PSI)}H${width}`} />
              {psi === 0 ? null : (
                <text className="scale__text" x={width - 4} y={y(psi * PSI) - 4} textAnchor="end">
                  {bare('pressure', psi * PSI, units)}
                </text>
              )}
            </g>
          ))}
          {shown ? <path className="body" d={`M${points(shown)}V${floor}H${x(0)}z`} /> : null}
          {other ? <path className="sketch__other" d={`M${points(other)}`} /> : null}
          {shown ? (
            <>
              {shown.places.map((place, index) => (
                <path key={place.id} className="leader" d={`M${x(index)} ${y(place.pressure)}V${floor + 4}`} />
              ))}
              <path className="sketch__unsure" d={`M${x(3)} ${y(shown.nozzle.low)}V${y(shown.nozzle.high)}M${x(3) - 12} ${y(shown.nozzle.low)}h24M${x(3) - 12} ${y(shown.nozzle.high)}h24`} />
              <path className="pressure sketch__line" d={`M${points(shown)}`} />
              {shown.places.map((place, index) => (
                <g key={place.id}>
                  <circle className="spot" cx={x(index)} cy={y(place.pressure)} r="7" />
                  <text className="sketch__value" x={x(index) + (index === 3 ? 18 : 12)} y={y(place.pressure) - 12} textAnchor={isNarrow && index === 3 ? 'end' : 'start'}>
                    {bare('pressure', place.pressure, units)}
                    {index === 3 && !isNarrow ? <tspan className="sketch__range"> {figure('pressure', 0, units).unit}, {words.sizing.between(bare('pressure', shown.nozzle.low, units), bare('pressure', shown.nozzle.high, units))}</tspan> : null}
                  </text>
                </g>
              ))}
            </>
          ) : (
            <text className="sketch__refused" x={width / 2} y={floor / 2} textAnchor="middle">
              {words.sizing.refused}
            </text>
          )}
          <path className="pipe" d={`M${x(0)} ${floor + 30}H${x(3)}`} />
          {shown?.places.slice(1).map((place, index) => (
            <text key={place.id} className="pipe__loss" x={(x(index) + x(index + 1)) / 2} y={floor + 36} textAnchor="middle">
              {bare('pressure', place.pressure - (shown.places[index]?.pressure ?? place.pressure), units)}
              {isNarrow ? '' : ` ${figure('pressure', 0, units).unit}`}
            </text>
          ))}
          {STATIONS.map((id, index) => (
            <PartSymbol key={id} id={id} x={x(index)} y={floor + 30} />
          ))}
        </svg>
      ) : null}
    </div>
  );
}

function told(drawing: string, shown: Sized | null, units: 'us' | 'si'): string {
  return shown ? `${drawing}: ${shown.places.map(({ id, pressure }) => `${id} ${figure('pressure', pressure, units).text}`).join(', ')}` : drawing;
}

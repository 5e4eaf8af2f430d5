import { useMemo, useState } from 'react';
import { CURVES, type CurveField, curveOf } from '../../domain/air/sizing/costs.ts';
import type { SetUp } from '../../domain/air/sizing/set-up.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { Choices } from '../ui/Choices.tsx';
import { CurveChart } from './CurveChart.tsx';
import { slideOf, writeField } from './field-format.ts';
import { figure } from './say-sized.ts';

/** Nozzle pressure and compressor load over the bore or the length of hose, of one or both set-ups. */
export function Curves({ a, b }: { a: SetUp; b: SetUp | null }) {
  const { desk, words } = useSeat();
  const { units, theme } = useStore(desk.preferences);
  const [over, setOver] = useState<CurveField>('nozzleBore');
  const told = words.sizing;
  const curveA = useMemo(() => curveOf(a, over), [a, over]);
  const curveB = useMemo(() => (b ? curveOf(b, over) : null), [b, over]);
  const at = curveA.at.map((si) => slideOf(over, si, units));
  const marks = [a, ...(b ? [b] : [])].map((setUp) => slideOf(over, setUp[over], units));
  const inUnits = (column: readonly (number | null)[], quantity: 'pressure' | 'share'): (number | null)[] => column.map((si) => (si === null ? null : figure(quantity, si, units).value));
  const nozzle = [curveA, ...(curveB ? [curveB] : [])].map((curve) => inUnits(curve.nozzle, 'pressure'));
  const load = [curveA, ...(curveB ? [curveB] : [])].map((curve) => inUnits(curve.load, 'share'));
  const common = { at, marks, theme, sayAt: (slide: number) => tick(over, slide, units) };
  return (
    <section className="curves" aria-label={told.curves} data-testid="curves">
      <Choices legend={told.over} name="curve-over" chosen={over} options={CURVES.map((field) => [field, told.curveOver[field]] as const)} onChoose={(chosen) => setOver(chosen as CurveField)} />
      <div className="curves__pair">
        <figure>
          <figcaption>
            {told.curveNozzle} <span className="soft">{figure('pressure', 0, units).unit}{b ? `, ${told.dashed}` : ''}</span>
          </figcaption>
          <CurveChart {...common} lines={nozzle} limit={null} label={`${told.curveNozzle}, ${told.curveOver[over]}: ${writeField(over, a[over], units)}`} />
        </figure>
        <figure>
          <figcaption>
            {told.curveLoad} <span className="soft">%</span>
          </figcaption>
          <CurveChart {...common} lines={load} limit={100} label={`${told.curveLoad}, ${told.curveOver[over]}: ${writeField(over, a[over], units)}`} />
        </figure>
      </div>
    </section>
  );
}

function tick(over: CurveField, slide: number, units: 'us' | 'si'): string {
  if (over === 'nozzleBore' && units === 'us') return String(Math.round(slide * 1000) / 1000);
  return String(Math.round(slide * 10) / 10);
}

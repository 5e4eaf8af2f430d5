import type { Sized } from '../../domain/air/sizing/size-line.ts';
import { formatNumber } from '../format/units.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { RESULT_ROWS, bare, figure, valueOf } from './say-sized.ts';

export interface ResultsProps {
  readonly a: Sized | null;
  readonly b: Sized | null;
  readonly isComparing: boolean;
}

/** What the set-up gives, and what the second one gives beside it. */
export function Results({ a, b, isComparing }: ResultsProps) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.sizing;
  const notes = [a, ...(isComparing ? [b] : [])].map((sized) => (sized === null ? told.refused : sized.sags ? told.sags(figure('pressure', sized.places[0]?.pressure ?? 0, units).text) : sized.hasAdvisedReserve ? told.reserve : told.noReserve));
  return (
    <section className="gives" aria-label={told.gives} data-testid="gives">
      <h3>{told.gives}</h3>
      <table>
        <thead>
          <tr>
            <td />
            <th scope="col">{isComparing ? told.names.a : ''}</th>
            {isComparing ? (
              <>
                <th scope="col">{told.names.b}</th>
                <th scope="col">{told.difference}</th>
              </>
            ) : null}
          </tr>
        </thead>
        <tbody>
          {RESULT_ROWS.map((row) => {
            const [ofA, ofB] = [a && valueOf(row, a), b && valueOf(row, b)];
            const cell = (of: ReturnType<typeof valueOf> | null) =>
              of === null ? '––' : (
                <>
                  <strong>{figure(of.quantity, of.si, units).text}</strong>
                  {of.low === undefined || of.high === undefined ? null : <span className="gives__range"> {told.between(bare(of.quantity, of.low, units), bare(of.quantity, of.high, units))}</span>}
                </>
              );
            return (
              <tr key={row} data-testid={`row-${row}`}>
                <th scope="row">{told.rows[row]}</th>
                <td>{cell(ofA)}</td>
                {isComparing ? (
                  <>
                    <td>{cell(ofB)}</td>
                    <td>{ofA && ofB ? difference(figure(ofA.quantity, ofA.si, units), figure(ofB.quantity, ofB.si, units)) : '––'}</td>
                  </>
                ) : null}
              </tr>
            );
          })}
        </tbody>
      </table>
      <p className="gives__notes" data-testid="gives-note">
        {isComparing ? `${told.names.a}: ${notes[0] ?? ''}. ${told.names.b}: ${notes[1] ?? ''}.` : `${notes[0] ?? ''}.`}
      </p>
    </section>
  );
}

/** As the two figures stand there: what is shown must subtract to what is shown. */
function difference(a: { readonly value: number; readonly decimals: number; readonly unit: string }, b: { readonly value: number }): string {
  const change = Number(b.value.toFixed(a.decimals)) - Number(a.value.toFixed(a.decimals));
  const digits = formatNumber(change, a.decimals);
  return `${Number(change.toFixed(a.decimals)) > 0 ? '+' : ''}${digits} ${a.unit}`;
}

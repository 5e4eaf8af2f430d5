import type { LiveSite } from '../../../domain/wire/live.ts';
import type { ShiftCard } from '../../api/shift-shapes.ts';
import { formatAge } from '../../format/age.ts';
import { boreText, formatShare } from '../../format/quantity.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { whereOfShift } from '../site-names.ts';
import { RIG_SHAPES, rigOrder } from './rig-marks.ts';
import { sumUp } from './sum-up.ts';

/** The same in numbers, a line a rig; and the shape by which the rig is found in the plots. */
export function RigTable({ cards, sites }: { cards: readonly ShiftCard[]; sites: readonly LiveSite[] }) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.shifts.overviewPage.table;
  const rigs = rigOrder(cards);
  return (
    <div className="table-box" tabIndex={0} role="group" aria-label={told.title}>
      <table className="sums" data-testid="rig-table">
        <thead>
          <tr>
            {[told.rig, told.shifts, told.blasting, told.lost, told.alarms, told.critical, told.bore, told.unsigned].map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rigs.map((rig, index) => {
            const own = cards.filter((card) => card.rig === rig);
            const sum = sumUp(own);
            const { rigName, siteName } = whereOfShift(own[0] as ShiftCard, sites);
            return (
              <tr key={rig}>
                <th scope="row">
                  <svg className="rig-shape" viewBox="-9 -9 18 18" aria-hidden="true" focusable="false">
                    <path d={RIG_SHAPES[index % RIG_SHAPES.length]} />
                  </svg>
                  {rigName} {sites.length > 1 ? <span className="soft">{siteName}</span> : null}
                </th>
                <td>{own.length}</td>
                <td>{formatAge(sum.blastingMs, words)}</td>
                <td>{sum.lostProduction === null ? words.noValue : formatShare(sum.lostProduction)}</td>
                <td>{sum.audibleAlarms}</td>
                <td>{sum.criticalAlarms}</td>
                <td>{sum.boreFrom && sum.boreTo ? told.fromTo(boreText(sum.boreFrom, units, false), boreText(sum.boreTo, units, true)) : words.noValue}</td>
                <td>{sum.unsigned}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

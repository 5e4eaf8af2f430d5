import type { NozzlePressure } from '../../api/summary.ts';
import { formatQuantity, formatShare } from '../../format/quantity.ts';
import { formatNumber, inSystem } from '../../format/units.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { Facts } from './Facts.tsx';

/** Pressure at the nozzle while air flowed: how it was spread, and what was lost to too little. */
export function PressurePart({ nozzle }: { nozzle: NozzlePressure | null }) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.shifts.summary;
  const psi = (value: number): string => {
    const shown = inSystem(value, '[psi]', 'pressure', units);
    return formatNumber(shown.value, shown.decimals);
  };
  const symbol = inSystem(0, '[psi]', 'pressure', units).symbol;
  const most = Math.max(0.01, ...(nozzle?.distribution ?? []).map((one) => one.share));
  const wanted = nozzle?.wanted ?? null;
  return (
    <section aria-label={told.pressure} data-testid="pressure-part">
      <h3>
        {told.pressure} <span className="soft">{told.whileBlasting}</span>
      </h3>
      {nozzle === null ? (
        <p>{told.noPressure}</p>
      ) : (
        <>
          <Facts
            facts={[
              [told.median, formatQuantity(nozzle.median, units), told.middle90(psi(nozzle.p5.value), formatQuantity(nozzle.p95, units))],
              [told.lowestHighest, `${psi(nozzle.lowest.value)} / ${formatQuantity(nozzle.highest, units)}`],
              [told.inBand, wanted ? formatShare(wanted.inBand) : words.noValue, wanted ? told.wanted(psi(wanted.low), `${psi(wanted.high)} ${symbol}`, formatShare(wanted.below), formatShare(wanted.above)) : told.noWanted],
              [told.lost, formatShare(nozzle.lostProduction, 1), told.lostAgainst(formatQuantity(nozzle.reference, units))],
            ]}
          />
          <ol className="spread" aria-label={told.spread}>
            {nozzle.distribution.map((one) => {
              const isWanted = wanted !== null && one.from >= wanted.low - 0.01 && one.to <= wanted.high + 0.01;
              return (
                <li key={one.from} className="spread__step" data-wanted={isWanted || undefined}>
                  <span>
                    {psi(one.from)} {told.to} {psi(one.to)} {symbol}
                  </span>
                  <span className="spread__bar" style={{ '--share': `${(one.share / most) * 100}%` } as React.CSSProperties} />
                  <span>
                    {formatShare(one.share)} {isWanted ? <span className="soft">{told.wantedShort}</span> : null}
                  </span>
                </li>
              );
            })}
          </ol>
        </>
      )}
    </section>
  );
}

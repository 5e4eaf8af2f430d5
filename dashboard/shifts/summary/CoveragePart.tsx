import { findPointKind } from '../../../domain/points/catalogue.ts';
import type { Coverage } from '../../api/summary.ts';
import { formatAge } from '../../format/age.ts';
import { formatClockOnce } from '../../format/instant.ts';
import { formatShare } from '../../format/quantity.ts';
import { useSeat } from '../../hooks/desk-context.ts';

/** Gaps shown before the rest is folded away. */
const FIRST_GAPS = 4;

/** What was recorded of each sensor, and every gap with its cause; the worst first. */
export function CoveragePart({ coverage, zone }: { coverage: readonly Coverage[]; zone: string }) {
  const { words } = useSeat();
  const told = words.shifts.summary;
  const ordered = [...coverage].sort((a, b) => a.fraction - b.fraction);
  const whole = ordered.filter((one) => one.gaps.length === 0);
  const broken = ordered.filter((one) => one.gaps.length > 0);
  return (
    <section aria-label={told.coverage} data-testid="coverage">
      <h3>
        {told.coverage} <span className="soft">{told.coverageAbout}</span>
      </h3>
      {coverage.length === 0 ? <p>{told.noSensors}</p> : null}
      <ol className="coverage">
        {broken.map((one) => (
          <li key={`${one.owner} ${one.point}`} className="coverage__row">
            <span className="coverage__name">{words.told(findPointKind(one.point)?.label ?? one.point)}</span>
            <span className="shares__bar" style={{ '--share': `${one.fraction * 100}%` } as React.CSSProperties} />
            <strong className="coverage__share">{formatShare(one.fraction, 1)}</strong>
            <Gaps gaps={one.gaps} zone={zone} />
          </li>
        ))}
      </ol>
      {whole.length === 0 ? null : <p>{told.whole(whole.map((one) => words.told(findPointKind(one.point)?.label ?? one.point)).join('; '))}</p>}
    </section>
  );
}

function Gaps({ gaps, zone }: { gaps: Coverage['gaps']; zone: string }) {
  const { words } = useSeat();
  const told = words.shifts.summary;
  const line = (gap: Coverage['gaps'][number]) => (
    <li key={gap.from}>
      {told.gap(formatClockOnce(Date.parse(gap.from), zone, true), formatClockOnce(Date.parse(gap.to), zone, true), formatAge(Date.parse(gap.to) - Date.parse(gap.from), words))}, {causeWords(gap.cause, words)}
    </li>
  );
  return (
    <div className="coverage__gaps">
      <ul>{gaps.slice(0, FIRST_GAPS).map(line)}</ul>
      {gaps.length > FIRST_GAPS ? (
        <details>
          <summary>{told.moreGaps(gaps.length - FIRST_GAPS)}</summary>
          <ul>{gaps.slice(FIRST_GAPS).map(line)}</ul>
        </details>
      ) : null}
    </div>
  );
}

function causeWords(cause: string, words: ReturnType<typeof useSeat>['words']): string {
  const reason = /^sensor: (.+)$/.exec(cause)?.[1];
  return reason === undefined ? words.told(cause) : ((words.reasons as Readonly<Record<string, string>>)[reason] ?? cause);
}

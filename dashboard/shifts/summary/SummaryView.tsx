import type { Shift } from '../../api/shift-shapes.ts';
import { readSummary } from '../../api/summary.ts';
import { formatAge } from '../../format/age.ts';
import { boreText, formatQuantity, formatShare } from '../../format/quantity.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import type { ShiftWhere } from '../site-names.ts';
import { AlarmsPart } from './AlarmsPart.tsx';
import { ConditionsPart } from './ConditionsPart.tsx';
import { CoveragePart } from './CoveragePart.tsx';
import { Facts } from './Facts.tsx';
import { PeoplePart } from './PeoplePart.tsx';
import { PressurePart } from './PressurePart.tsx';

/** The shift in words and numbers. First what is missing: the rest is worth what the gaps leave of it. */
export function SummaryView({ shift, where }: { shift: Shift; where: ShiftWhere }) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.shifts.summary;
  const asked = useAnswer(shift.id, () => readSummary(shift.id));
  const summary = asked.body;
  if (!summary) {
    return (
      <p className="sheet__empty" role={asked.failure === null ? 'status' : 'alert'}>
        {asked.failure === null ? told.counting : words.shifts.failed(asked.failure || words.shift.serverUnreachable)}
      </p>
    );
  }
  const say = (quantity: Parameters<typeof formatQuantity>[0] | null): string => (quantity ? formatQuantity(quantity, units) : words.noValue);
  const { work, wear, used } = summary;
  const change = wear.estimate;
  const apart = (value: number): string => boreText({ value: Math.abs(value), unit: change?.unit ?? 'mm' }, units, true);
  return (
    <div className="summary" data-testid="summary">
      <CoveragePart coverage={summary.coverage} zone={where.zone} />
      <section aria-label={told.work}>
        <h3>{told.work}</h3>
        <Facts
          facts={
            work
              ? [
                  [told.blasting, hours(work.blasting.value, words)],
                  [told.cycles, `${work.cycles.value}`, told.cyclesFrom(work.cyclesFrom)],
                  [told.longest, hours(work.longestBurst.value / 60, words)],
                ]
              : [[told.blasting, words.noValue]]
          }
        />
      </section>
      <PressurePart nozzle={summary.nozzle} />
      <PeoplePart people={summary.people} coMax={summary.coMax} zone={where.zone} />
      <ConditionsPart title={told.moisture} conditions={summary.moisture} zone={where.zone} />
      <ConditionsPart title={told.climate} conditions={summary.climate} zone={where.zone} />
      <section aria-label={told.wear}>
        <h3>{told.wear}</h3>
        <Facts
          facts={[
            [told.boreStart, say(wear.start)],
            [told.boreEnd, say(wear.end), wear.end === null ? told.notGauged : ''],
            [told.boreChange, change ? `${change.value < 0 ? '−' : '+'}${apart(change.value)}` : words.noValue, change ? told.between(`${change.low < 0 ? '−' : '+'}${apart(change.low)}`, `${change.high < 0 ? '−' : '+'}${apart(change.high)}`) : told.needsTwoNeedles],
            [told.wearLimit, say(wear.limit), told.wearLimitNote],
          ]}
        />
        {wear.isChanged ? <p>{told.nozzleChanged}</p> : null}
      </section>
      <section aria-label={told.used}>
        <h3>{told.used}</h3>
        <Facts
          facts={[
            [told.air, say(used.air), told.computed],
            [told.abrasive, used.abrasiveEstimate ? told.range(formatQuantity({ value: used.abrasiveEstimate.low, unit: used.abrasiveEstimate.unit }, units), formatQuantity({ value: used.abrasiveEstimate.high, unit: used.abrasiveEstimate.unit }, units)) : words.noValue, told.computed],
            [told.filled, say(used.filled), told.fillings(used.fillings)],
            [told.area, say(used.area), used.lots.length === 0 ? '' : told.lots(used.lots.join(', '))],
          ]}
        />
        {used.stops.length === 0 ? null : (
          <ul className="summary__stops">
            {used.stops.map((stop) => (
              <li key={stop.reason}>
                <strong>{told.stop(words.rig.reasons[stop.reason] ?? stop.reason)}</strong> {formatAge(stop.time.value * 60_000, words)}, {told.times(stop.count)}
              </li>
            ))}
          </ul>
        )}
      </section>
      <AlarmsPart alarms={summary.alarms} zone={where.zone} />
      <section aria-label={told.assumptions}>
        <h3>{told.assumptions}</h3>
        <ul className="summary__assumptions">
          {summary.assumptions.map((one) => (
            <li key={one}>{words.told(one)}</li>
          ))}
          <li>{told.coverageNote(formatShare(meanOf(summary.coverage.map((one) => one.fraction)), 1))}</li>
        </ul>
      </section>
    </div>
  );
}

function hours(value: number, words: ReturnType<typeof useSeat>['words']): string {
  return formatAge(value * 3_600_000, words);
}

function meanOf(values: readonly number[]): number {
  return values.length === 0 ? 0 : values.reduce((sum, value) => sum + value, 0) / values.length;
}

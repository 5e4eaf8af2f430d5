import type { Person } from '../../api/summary.ts';
import type { Quantity } from '../../api/shift-shapes.ts';
import { formatAge } from '../../format/age.ts';
import { formatClockOnce } from '../../format/instant.ts';
import { formatQuantity, formatShare } from '../../format/quantity.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { Facts } from './Facts.tsx';

/** Carbon monoxide of each person under a hood; for nobody in general, since it is a person who breathes it. */
export function PeoplePart({ people, coMax, zone }: { people: readonly Person[]; coMax: Quantity | null; zone: string }) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.shifts.summary;
  const say = (quantity: Quantity | null): string => (quantity ? formatQuantity(quantity, units) : words.noValue);
  return (
    <section aria-label={told.co} data-testid="people">
      <h3>
        {told.co} <span className="soft">{told.coMost(say(coMax))}</span>
      </h3>
      {people.length === 0 ? <p>{told.nobodyUnderHood}</p> : null}
      {people.map((one) => (
        <div key={one.name} className="person">
          <h4>
            {one.name}, {told.underHood(formatAge(one.time.value * 3_600_000, words))}{' '}
            <span className="soft">
              {one.underHood.map((span) => told.span(formatClockOnce(Date.parse(span.from), zone, false), formatClockOnce(Date.parse(span.to), zone, false))).join('; ')}, {told.measured(formatShare(one.measured))}
            </span>
          </h4>
          <Facts
            facts={[
              [told.highest, say(one.highest)],
              [told.over5, say(one.highest5min)],
              [told.over15, say(one.highest15min)],
              [told.over8h, say(one.average8h), one.average8hAtLeast && one.average8hAtMost ? told.between(say(one.average8hAtLeast), say(one.average8hAtMost)) : ''],
              [told.cohb, formatQuantity(one.carboxyhaemoglobin, units), told.estimate],
            ]}
          />
        </div>
      ))}
    </section>
  );
}

import { useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { readShifts } from '../../api/shifts.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { useStore } from '../../hooks/use-store.ts';
import { routeHref } from '../../page/route.ts';
import { Choices } from '../../ui/Choices.tsx';
import { measuresOf } from './measures.ts';
import { MeasurePlot } from './MeasurePlot.tsx';
import { RigTable } from './RigTable.tsx';

const DAY_MS = 86_400_000;
const PERIODS = { '14': 14, '90': 90, '365': 365 } as const;
type Period = keyof typeof PERIODS;
/** The server gives no more at once; the newest come first. */
const MOST = 500;

/** Across shifts and rigs: pressure, wear, alarms and lost production over weeks, a mark a shift. */
export function Overview({ sites, query }: { sites: readonly LiveSite[]; query: URLSearchParams }) {
  const { desk, words } = useSeat();
  const { nowMs } = useReader();
  const { units } = useStore(desk.preferences);
  const [period, setPeriod] = useState<Period>((query.get('days') as Period | null) ?? '14');
  const [siteId, setSiteId] = useState('');
  const [isWithDrills, setWithDrills] = useState(false);
  const [untilMs, setUntilMs] = useState<number | null>(null);
  if (untilMs === null && nowMs !== null) setUntilMs(nowMs);
  const toMs = untilMs ?? 0;
  const fromMs = toMs - (PERIODS[period] ?? 14) * DAY_MS;
  const asked = useAnswer(`${siteId} ${period} ${toMs}`, () => readShifts({ site: siteId || null, rig: null, state: null, search: '', fromMs, toMs: null, limit: MOST, cursor: null }));
  const told = words.shifts.overviewPage;
  const isReady = asked.body !== null && untilMs !== null;
  const cards = (asked.body?.items ?? []).filter((card) => isWithDrills || (!card.drill && !card.replay));
  const left = (asked.body?.items.length ?? 0) - cards.length;
  return (
    <section className="overview" data-testid="overview" aria-label={words.shifts.overview}>
      <form className="filters" onSubmit={(event) => event.preventDefault()}>
        <Choices legend={told.period} name="period" chosen={period} options={(Object.keys(PERIODS) as Period[]).map((key) => [key, told.periods[key]])} onChoose={(key) => setPeriod(key as Period)} />
        {sites.length > 1 ? <Choices legend={words.siteSwitch} name="overview-site" chosen={siteId} options={[['', words.shifts.everySite], ...sites.map((site) => [site.id, site.name] as const)]} onChoose={setSiteId} /> : null}
        <Choices legend={told.drills} name="drills" chosen={isWithDrills ? 'with' : 'without'} options={[['without', told.without], ['with', told.with]]} onChoose={(choice) => setWithDrills(choice === 'with')} />
      </form>
      <p className="soft" role="status">
        {asked.failure !== null ? words.shifts.failed(asked.failure || words.shift.serverUnreachable) : !isReady ? words.shifts.loading : told.count(cards.length, left, asked.body?.next !== null)}
      </p>
      {isReady && cards.length > 0 ? (
        <>
          <RigTable cards={cards} sites={sites} />
          <div className="overview__plots">
            {measuresOf(units, words).map((measure) => (
              <MeasurePlot key={measure.key} measure={measure} cards={cards} sites={sites} fromMs={fromMs} toMs={toMs} />
            ))}
          </div>
          <p className="soft">{told.legend}</p>
        </>
      ) : null}
      {isReady && cards.length === 0 ? (
        <p>
          {words.shifts.noneFound} <a href={routeHref('shifts')}>{words.shifts.all}</a>
        </p>
      ) : null}
    </section>
  );
}

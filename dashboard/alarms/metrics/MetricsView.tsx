import { useState } from 'react';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { formatClock } from '../../format/clock.ts';
import { formatDay } from '../../format/day.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { Choices } from '../../ui/Choices.tsx';
import { MetricsFigures } from './MetricsFigures.tsx';
import { PrioritySplit } from './PrioritySplit.tsx';
import { RatePlot } from './RatePlot.tsx';
import { titleOf } from './title-of.ts';
import { useAlarmMetrics } from './use-alarm-metrics.ts';

/** Where the plot draws the beginning of a flood; the server's own setting decides what it counts as one. */
const FLOOD_FROM = 10;
const HOUR_MS = 3_600_000;
const PERIODS = { '12h': 12 * HOUR_MS, '24h': 24 * HOUR_MS, '7d': 168 * HOUR_MS, '30d': 720 * HOUR_MS } as const;
type Period = keyof typeof PERIODS;
const PERIOD_KEYS = Object.keys(PERIODS) as Period[];

/** How the alarms themselves do: too many, too few that mattered, and which ones to mend. */
export function MetricsView({ site, alarms }: { site: LiveSite; alarms: readonly LiveAlarm[] }) {
  const { words } = useSeat();
  const { nowMs } = useReader();
  const [period, setPeriod] = useState<Period>('24h');
  const [rig, setRig] = useState<string | null>(null);
  const { answer, windows, countedFromMs } = useAlarmMetrics(site.id, rig, PERIODS[period], nowMs);
  const metrics = answer?.ok ? answer.body : null;
  const top = metrics?.mostFrequent ?? [];
  const called = ({ name, owner }: { readonly name: string; readonly owner: string }): string =>
    `${[...site.rigs, ...site.compressors].find((o) => o.id === owner)?.name ?? words.alarms.site}: ${words.told(titleOf(name, alarms))}`;
  const percent = (share: number): string => `${Math.round(share * 100)} %`;
  return (
    <section className="metrics" data-testid="metrics" aria-label={words.alarms.metrics}>
      <form className="filters" onSubmit={(event) => event.preventDefault()}>
        <Choices legend={words.metrics.period} name="period" chosen={period} options={PERIOD_KEYS.map((key) => [key, words.metrics.periods[key]])} onChoose={(key) => setPeriod(key as Period)} />
        <Choices legend={words.metrics.rig} name="rig" chosen={rig ?? ''} options={[['', words.metrics.everywhere], ...site.rigs.map((one) => [one.id, one.name] as const)]} onChoose={(id) => setRig(id === '' ? null : id)} />
      </form>
      {answer === null ? <p role="status">{words.metrics.loading}</p> : null}
      {answer && !answer.ok ? <p role="alert">{words.metrics.failed(words.problem(answer.detail) || words.shift.serverUnreachable)}</p> : null}
      {metrics ? (
        <>
          <MetricsFigures metrics={metrics} />
          <h2 className="metrics__title">
            {words.metrics.rate} <span className="soft">{words.metrics.total(metrics.annunciated)}</span>
            {countedFromMs === null ? null : <span className="soft">, {words.metrics.countedFrom(`${formatDay(countedFromMs, site.zone, words)} ${formatClock(countedFromMs, site.zone, false)}`)}</span>}
          </h2>
          <RatePlot windows={windows ?? []} floodFrom={FLOOD_FROM} zone={site.zone} />
          <div className="metrics__pair">
            <section aria-label={words.metrics.top}>
              <h2 className="metrics__title">
                {words.metrics.top} {top.length > 0 ? <span className="soft">{words.metrics.topNote(top.length, percent(metrics.topTenShare))}</span> : null}
              </h2>
              {top.length === 0 ? <p className="soft">{words.metrics.nothing}</p> : null}
              <ol className="shares" data-testid="top-alarms">
                {top.map((one) => (
                  <li key={`${one.owner}/${one.name}`} className="shares__row">
                    <span className="shares__name">{called(one)}</span>
                    <span className="shares__bar" style={{ '--share': `${(one.count / metrics.annunciated) * 100}%` } as React.CSSProperties} />
                    <span className="shares__count">
                      {one.count} <span className="soft">{percent(one.count / metrics.annunciated)}</span>
                    </span>
                  </li>
                ))}
              </ol>
            </section>
            <section aria-label={words.metrics.priorities}>
              <h2 className="metrics__title">
                {words.metrics.priorities} <span className="soft">{words.metrics.prioritiesAim}</span>
              </h2>
              <PrioritySplit counts={metrics.byPriority} />
              <h2 className="metrics__title">{words.metrics.list}</h2>
              <dl className="mend">
                <dt>{words.metrics.chattering}</dt>
                <dd>{metrics.chattering.length === 0 ? words.metrics.none : metrics.chattering.map((c) => `${called(c)}, ${c.activations} ×`).join('; ')}</dd>
                <dt>{words.metrics.stale}</dt>
                <dd>{metrics.stale.length === 0 ? words.metrics.none : metrics.stale.map(called).join('; ')}</dd>
              </dl>
            </section>
          </div>
        </>
      ) : null}
    </section>
  );
}

import { useMemo } from 'react';
import type { LiveAlarm, LiveSite } from '../../domain/wire/live.ts';
import { asksForSomebody } from '../alarms/alarm-state.ts';
import { tellAlarm } from '../alarms/tell-alarm.ts';
import { formatAge } from '../format/age.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useIsLive } from '../hooks/use-link.ts';
import { useReader } from '../hooks/use-reader.ts';
import { useSelected } from '../hooks/use-store.ts';
import { routeHref } from '../page/route.ts';
import { PriorityMark } from '../ui/PriorityMark.tsx';
import { QUIET, type SiteNeed, heardAtMs, orderSites } from './judge-need.ts';
import './sites.css';

/** Many sites at a glance: those that need somebody as rows, the worst in front; the others by name only. */
export function SitesScreen({ sites }: { sites: readonly LiveSite[] }) {
  const { desk, words } = useSeat();
  const points = useSelected(desk.live, (live) => live.points);
  const alarms = useSelected(desk.live, (live) => live.alarms);
  const isServerLive = useIsLive(undefined);
  const { nowMs } = useReader();
  const heard = useMemo(() => heardAtMs(sites, points.values()), [sites, points]);
  const all = orderSites(sites, alarms, heard, nowMs ?? 0);
  const needy = all.filter(({ rank }) => rank < QUIET);
  const quiet = all.filter(({ rank }) => rank >= QUIET);
  const calling = all.filter((one) => one.alarms[0] && asksForSomebody(one.alarms[0])).length;
  const lost = all.filter(({ life }) => life === 'not-live' || life === 'not-recording').length;
  return (
    <main className="sheet sites" data-old={!isServerLive || undefined}>
      <h2 className="sites__title">{words.sites.title}</h2>
      <p className="sites__sum" data-testid="sites-sum">
        {isServerLive ? words.sites.sum(calling, lost, sites.length) : words.sites.old}
      </p>
      <p className="sites__advice">{words.sites.advice}</p>
      {needy.length === 0 ? null : (
        <ul className="sites__needy" aria-label={words.sites.needy}>
          {needy.map((need) => (
            <NeedyRow key={need.site.id} need={need} />
          ))}
        </ul>
      )}
      {quiet.length === 0 ? null : (
        <section aria-label={words.sites.quiet}>
          <h3 className="sites__heading">{words.sites.quiet}</h3>
          <ul className="sites__quiet">
            {quiet.map(({ site, life, underHood }) => (
              <li key={site.id} data-testid={`quiet-${site.id}`} data-life={life}>
                <a className="sites__name" href={routeHref('watch', { site: site.id })}>
                  {site.name}
                </a>
                <span className="sites__small">{life === 'never-heard' ? words.sites.neverHeard : underHood > 0 ? words.sites.underHood(underHood) : ''}</span>
              </li>
            ))}
          </ul>
        </section>
      )}
    </main>
  );
}

function NeedyRow({ need }: { need: SiteNeed }) {
  const { words } = useSeat();
  const { site, alarms, underHood, life } = need;
  const [first] = alarms;
  return (
    <li className="site-row" data-testid={`site-${site.id}`} data-life={life} data-priority={first?.priority}>
      <a className="sites__name site-row__name" href={routeHref(first ? 'alarms' : 'watch', { site: site.id })}>
        {first ? <PriorityMark priority={first.priority} /> : null} {site.name}
      </a>
      <div className="site-row__alarm">{first ? <FirstAlarm alarm={first} site={site} more={alarms.length - 1} /> : <span className="sites__small">{words.sites.nothingStands}</span>}</div>
      <div className="site-row__who">{first ? <WhoHasIt alarm={first} /> : null}</div>
      <div className="site-row__hood">{underHood > 0 ? words.sites.underHood(underHood) : null}</div>
      <div className="site-row__life" data-life={life}>
        <Life need={need} />
      </div>
    </li>
  );
}

function FirstAlarm({ alarm, site, more }: { alarm: LiveAlarm; site: LiveSite; more: number }) {
  const { words } = useSeat();
  const { title } = tellAlarm(alarm, words);
  const where = [...site.rigs, ...site.compressors].find(({ id }) => id === alarm.owner)?.name;
  return (
    <>
      <strong>{title}</strong> <span className="sites__small">{[where, more > 0 ? words.sites.more(more) : null].filter((part) => part != null).join(', ')}</span>
    </>
  );
}

/** Who has it, or for how long nobody had. */
function WhoHasIt({ alarm }: { alarm: LiveAlarm }) {
  const { words } = useSeat();
  const { nowMs } = useReader();
  const age = nowMs === null ? '' : formatAge(nowMs - (alarm.acknowledgedAtMs ?? alarm.raisedAtMs), words);
  return alarm.acknowledgedBy !== null && !asksForSomebody(alarm) ? <>{words.sites.hasIt(alarm.acknowledgedBy, age)}</> : <strong>{words.sites.nobodyHasIt(age)}</strong>;
}

function Life({ need: { life, silentMs } }: { need: SiteNeed }) {
  const { words } = useSeat();
  if (life === 'not-recording') return <strong>{words.notRecording}</strong>;
  if (life === 'not-live') return <strong>{words.sites.notLive(formatAge(silentMs ?? 0, words))}</strong>;
  return <>{life === 'never-heard' ? words.sites.neverHeard : words.link.live}</>;
}

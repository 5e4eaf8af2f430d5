import { type ReactNode, useEffect, useLayoutEffect, useMemo, useState } from 'react';
import { useSeat } from '../hooks/desk-context.ts';
import { useIsLive } from '../hooks/use-link.ts';
import { useRoute } from '../hooks/use-route.ts';
import { useSelected } from '../hooks/use-store.ts';
import { type AlarmsRoute, AlarmsScreen } from '../alarms/AlarmsScreen.tsx';
import { tellAlarm } from '../alarms/tell-alarm.ts';
import { Watch } from '../watch/Watch.tsx';
import { TrainingBand } from '../drill/TrainingBand.tsx';
import { AlarmStrip } from './AlarmStrip.tsx';
import { LazyDemonstrationTab, LazyFirstRun, LazyPeople, LazyReady, LazyRigPage, LazyScreen, LazySettings, LazyShifts, LazySites, LazySizing } from './LazyScreen.tsx';
import type { ScreenProps } from './screen-props.ts';
import { StandStill } from './StandStill.tsx';
import { TopBar } from './TopBar.tsx';

/** What stands round every screen: bands, bar, alarms, advice, always in the same places. */
export function Page({ onSignOut }: { onSignOut: () => void }) {
  const { desk, words } = useSeat();
  const sites = useSelected(desk.live, (live) => live.sites);
  const alarms = useSelected(desk.live, (live) => live.alarms);
  const floods = useSelected(desk.live, (live) => live.floods);
  const holes = useSelected(desk.feed, (feed) => feed.holes);
  const isOutdated = useSelected(desk.feed, (feed) => feed.isOutdated);
  const [siteId, setSiteId] = useState<string | null>(null);
  const { route, rest, query } = useRoute();
  const place = [route, ...rest].join('/');
  // The browser knows of no new page here: without this one opens in the middle of another. Before what scrolls to an alarm asked for.
  useLayoutEffect(() => {
    // Its promise, in browsers that give one, is no clean-up.
    void window.scrollTo(0, 0);
  }, [place]);
  const site = sites.find((s) => s.id === siteId) ?? sites[0];
  const told = useMemo(() => alarms.filter((a) => a.site === site?.id).map((alarm) => tellAlarm(alarm, words)), [alarms, site?.id, words]);
  // A message leads to an alarm, wherever it stands; the list of sites to one of them.
  const asked = alarms.find((a) => a.id === query.get('alarm'))?.site ?? query.get('site') ?? undefined;
  useEffect(() => {
    if (asked !== undefined) setSiteId(asked);
  }, [asked]);
  const live = useIsLive(site);
  const screen: ScreenProps | null = site ? { site, alarms: told, flood: floods[site.id] ?? null, isLive: live } : null;
  let shown: ReactNode = null;
  // What is only reckoned needs no site, and no answer of a server.
  if (route === 'sizing') shown = <LazyScreen key="sizing"><LazySizing site={site ?? null} /></LazyScreen>;
  else if (route === 'demonstration') shown = <LazyScreen key="demonstration"><LazyDemonstrationTab /></LazyScreen>;
  // People are there before the first site is.
  else if (route === 'people') shown = <LazyScreen key="people"><LazyPeople site={site} sites={sites} rest={rest} /></LazyScreen>;
  else if (screen && route === 'ready') shown = <LazyScreen key="ready"><LazyReady {...screen} rest={rest} /></LazyScreen>;
  else if (screen && route === 'watch') shown = <Watch {...screen} />;
  else if (screen && route === 'shifts') shown = <LazyScreen key="shifts"><LazyShifts {...screen} sites={sites} rest={rest} query={query} /></LazyScreen>;
  else if (screen && route === 'settings') shown = <LazyScreen key="settings"><LazySettings site={screen.site} rest={rest} query={query} /></LazyScreen>;
  else if (screen && route === 'sites') shown = <LazyScreen key="sites"><LazySites sites={sites} /></LazyScreen>;
  else if (screen && route === 'rig') shown = <LazyScreen key="rig"><LazyRigPage {...screen} rest={rest} /></LazyScreen>;
  else if (screen) shown = <AlarmsScreen {...screen} route={route as AlarmsRoute} query={query} />;
  else if (holes > 0) shown = <LazyScreen key="first"><LazyFirstRun /></LazyScreen>;
  return (
    <div className="page" data-live={live} data-demo={site?.demo || site?.training || undefined}>
      <div className="top">
        {typeof site?.replay === 'string' ? (
          <p className="band band--demo" data-testid="replay-band" role="note">
            <strong>{words.replayBand}</strong> <span>{words.replayText(site.replay)}</span> <span className="band__more">{words.demoMore}</span>
          </p>
        ) : null}
        {site?.demo ? (
          <p className="band band--demo" data-testid="demo-band" role="region" aria-label={words.demoBand}>
            <strong>{words.demoBand}</strong> <span>{words.demoText}</span> <span className="band__more">{words.demoMore}</span>
          </p>
        ) : null}
        {site?.training ? <TrainingBand site={site} /> : null}
        <TopBar site={site} sites={sites} onSite={setSiteId} onSignOut={onSignOut} />
        {screen ? <AlarmStrip {...screen} route={route} /> : null}
      </div>
      {isOutdated ? <p className="band band--problem">{words.outdated}</p> : null}
      {shown}
      <footer className="foot">
        {site && !site.recording ? (
          <p className="band band--problem" data-testid="not-recording-band" role="alert">
            <strong>{words.notRecording}</strong> <span>{words.notRecordingText}</span>
          </p>
        ) : null}
        <p className="foot__advice" data-testid="advice">
          {words.advice}
        </p>
      </footer>
      <StandStill />
    </div>
  );
}

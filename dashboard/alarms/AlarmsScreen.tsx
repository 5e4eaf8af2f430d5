import { useSeat } from '../hooks/desk-context.ts';
import { type Route, routeHref } from '../page/route.ts';
import type { ScreenProps } from '../page/screen-props.ts';
import { isAside } from './alarm-state.ts';
import { AsideLists } from './aside/AsideLists.tsx';
import { JournalView } from './journal/JournalView.tsx';
import { AlarmList } from './list/AlarmList.tsx';
import { MetricsView } from './metrics/MetricsView.tsx';
import { orderAlarms } from './order-alarms.ts';

export type AlarmsRoute = Exclude<Route, 'watch' | 'shifts' | 'rig' | 'ready' | 'sizing' | 'people' | 'settings'>;

export interface AlarmsScreenProps extends ScreenProps {
  readonly route: AlarmsRoute;
  readonly query: URLSearchParams;
}

/** What stands, what was set aside, what happened, and how well the alarms themselves do. */
export function AlarmsScreen({ route, query, ...screen }: AlarmsScreenProps) {
  const { words } = useSeat();
  const tabs: readonly { readonly route: Route; readonly label: string; readonly count?: number }[] = [
    { route: 'alarms', label: words.alarms.standing, count: orderAlarms(screen.alarms).length },
    { route: 'alarms/aside', label: words.alarms.aside, count: screen.alarms.filter((a) => isAside(a.state)).length },
    { route: 'alarms/journal', label: words.alarms.journal },
    { route: 'alarms/metrics', label: words.alarms.metrics },
  ];
  return (
    <main className="sheet alarms" data-testid="alarms-screen">
      <nav className="tabs" aria-label={words.alarms.tabs}>
        {tabs.map((tab) => (
          <a key={tab.route} className="tabs__tab" data-testid={`tab-${tab.route}`} href={routeHref(tab.route)} aria-current={tab.route === route ? 'page' : undefined}>
            {tab.label}
            {tab.count === undefined ? null : <span className="tabs__count">{tab.count}</span>}
          </a>
        ))}
      </nav>
      {route === 'alarms' ? <AlarmList {...screen} asked={query.get('alarm')} /> : null}
      {route === 'alarms/aside' ? <AsideLists {...screen} /> : null}
      {/* Another alarm's journal is another journal: nothing of the last one may linger in it. */}
      {route === 'alarms/journal' ? <JournalView key={query.get('alarm') ?? ''} site={screen.site} alarms={screen.alarms} onlyAlarm={query.get('alarm')} /> : null}
      {route === 'alarms/metrics' ? <MetricsView site={screen.site} alarms={screen.alarms} /> : null}
    </main>
  );
}

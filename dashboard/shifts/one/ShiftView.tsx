import { useEffect } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { mayRejudge } from '../../api/session.ts';
import { readEntries, readShift } from '../../api/shifts.ts';
import type { HandEntry } from '../../api/shift-shapes.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { routeHref } from '../../page/route.ts';
import { MadeUpBand } from '../MadeUp.tsx';
import { Rejudge } from '../rejudge/Rejudge.tsx';
import { SHIFT_TABS, type ShiftTab, shiftHref } from '../shift-route.ts';
import { whereOfShift } from '../site-names.ts';
import { SummaryView } from '../summary/SummaryView.tsx';
import { TraceView } from '../trace/TraceView.tsx';
import { ShiftHeadLine } from './ShiftHeadLine.tsx';
import { ShiftLog } from './ShiftLog.tsx';

export interface ShiftViewProps {
  readonly id: string;
  readonly tab: ShiftTab;
  readonly sites: readonly LiveSite[];
  readonly query: URLSearchParams;
}

/** The tree over all that was recorded is built after the second signature; so often it is looked whether it is done. */
const SEALING_MS = 2_000;
const NO_ENTRIES: readonly HandEntry[] = [];

/** One shift: its log, its trace, its summary, and what other limits would have made of it. */
export function ShiftView({ id, tab, sites, query }: ShiftViewProps) {
  const { words, session } = useSeat();
  const asked = useAnswer(id, () => readShift(id));
  const entries = useAnswer(id, () => readEntries(id));
  const shift = asked.body;
  const { again } = asked;
  const isSealing = shift !== null && shift.signOffs.length === 2 && shift.seal === null;
  useEffect(() => {
    if (!isSealing) return;
    const timer = setInterval(again, SEALING_MS);
    return () => clearInterval(timer);
  }, [isSealing, again]);
  if (!shift) {
    return (
      <p className="sheet__empty" role={asked.failure === null ? 'status' : 'alert'}>
        {asked.failure === null ? words.shifts.loading : words.shifts.failed(asked.failure || words.shift.serverUnreachable)}
      </p>
    );
  }
  const where = whereOfShift(shift, sites);
  const common = { shift, where, entries: entries.body?.items ?? NO_ENTRIES };
  const renew = (): void => {
    asked.again();
    entries.again();
  };
  return (
    <article className="shift-one" data-testid="shift-one" data-state={shift.state} data-made-up={shift.drill || shift.replay || undefined}>
      <MadeUpBand drill={shift.drill} replay={shift.replay} />
      <ShiftHeadLine shift={shift} where={where} />
      <nav className="tabs tabs--inner" aria-label={words.shifts.tabsOne}>
        <a className="tabs__tab tabs__tab--back" data-testid="all-shifts" href={routeHref('shifts')}>
          <span aria-hidden="true">←</span> <span>{words.shifts.all}</span>
        </a>
        {SHIFT_TABS.filter((one) => one !== 'rejudge' || mayRejudge(session.role)).map((one) => (
          <a key={one} className="tabs__tab" data-testid={`shift-tab-${one}`} href={shiftHref(id, one)} aria-current={one === tab ? 'page' : undefined}>
            {words.shifts.tabNames[one]}
          </a>
        ))}
      </nav>
      {asked.failure === null ? null : (
        <p className="alarm__failure" role="alert">
          {words.shifts.failed(asked.failure || words.shift.serverUnreachable)}
        </p>
      )}
      {tab === 'log' ? <ShiftLog {...common} onChange={renew} /> : null}
      {tab === 'trace' ? <TraceView {...common} query={query} onChange={renew} /> : null}
      {tab === 'summary' ? <SummaryView shift={shift} where={where} /> : null}
      {tab === 'rejudge' && mayRejudge(session.role) ? <Rejudge shift={shift} where={where} /> : null}
    </article>
  );
}

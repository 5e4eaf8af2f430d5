import { mayRunShift, mayTendRig } from '../api/session.ts';
import { readEntries, readShift } from '../api/shifts.ts';
import { useAnswer } from '../hooks/use-answer.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useReader } from '../hooks/use-reader.ts';
import { useStore } from '../hooks/use-store.ts';
import { findRigPoint } from '../link/site-facts.ts';
import { formatClock } from '../format/clock.ts';
import { routeHref } from '../page/route.ts';
import type { ScreenProps } from '../page/screen-props.ts';
import { describeEntry } from '../shifts/one/describe-entry.ts';
import { Reading } from '../ui/Reading.tsx';
import { EntryKeys } from './EntryKeys.tsx';
import { HoodKeys } from './HoodKeys.tsx';
import './rig-page.css';

export interface RigPageProps extends ScreenProps {
  readonly rest: readonly string[];
}

/** What stands at the top of the page, so that one who types there still sees the air. */
const SHOWN = ['breathing-air-co', 'breathing-air-pressure', 'nozzle-pressure'] as const;
const LAST = 8;

/** What people tell of a rig, with gloves on: who is under the hood, and readings by hand in two taps. */
export function RigPage({ site, rest }: RigPageProps) {
  const { desk, words, session } = useSeat();
  const { points } = useStore(desk.live);
  const { system } = useReader();
  const rig = site.rigs.find((one) => one.id === rest[0]) ?? site.rigs[0];
  const shiftId = rig?.shift?.id ?? '';
  const shift = useAnswer(shiftId, () => (shiftId === '' ? nothing() : readShift(shiftId)));
  const entries = useAnswer(shiftId, () => (shiftId === '' ? nothing() : readEntries(shiftId)));
  if (!rig) return <p className="sheet__empty">{words.noRigs}</p>;
  const items = entries.body?.items ?? [];
  const names = [session.name, ...(shift.body?.crew ?? []).map((one) => one.name)].filter((name, index, all) => all.indexOf(name) === index);
  const crew = (shift.body?.crew ?? []).length > 0 ? names.slice(1) : names;
  return (
    <main className="sheet rig-page" data-testid="rig-page">
      <nav className="tabs" aria-label={words.rigSwitch}>
        {site.rigs.map((one) => (
          <a key={one.id} className="tabs__tab" data-testid={`rig-tab-${one.id}`} href={routeHref('rig', {}, [one.id])} aria-current={one === rig ? 'page' : undefined}>
            {one.name}
          </a>
        ))}
      </nav>
      <section className="rig-page__air" aria-label={words.air.region}>
        {SHOWN.map((id) => (
          <Reading key={id} label={id === 'nozzle-pressure' ? words.line.nozzle : id === 'breathing-air-co' ? words.air.co : words.air.pressure} point={findRigPoint(points, rig, id)} size="large" testId={`rig-page-${id}`} hasMargin={false} />
        ))}
        {rig.shift ? (
          <a className="action action--link" data-testid="this-shift" href={routeHref('shifts', {}, [rig.shift.id])}>
            {words.rig.thisShift(formatClock(rig.shift.startedAtMs, site.zone, false))}
          </a>
        ) : mayRunShift(session.role) ? (
          <a className="action action--link" data-testid="start-here" href={routeHref('shifts', { rig: rig.id }, ['start'])}>
            {words.rig.startHere}
          </a>
        ) : (
          <p className="soft">{words.line.noShift}</p>
        )}
      </section>
      {mayTendRig(session.role) ? (
        <>
          <HoodKeys key={`hood-${rig.id}`} rig={rig} zone={site.zone} crew={crew} />
          <EntryKeys key={`entries-${rig.id}`} rig={rig} zone={site.zone} entries={items} onDone={entries.again} />
        </>
      ) : (
        <p className="rig-page__looks">{words.rig.lookingOn}</p>
      )}
      <section className="rig-page__last" aria-label={words.rig.last}>
        <h2>{words.rig.last}</h2>
        {items.length === 0 ? <p className="soft">{words.rig.noneYet}</p> : null}
        <ol data-testid="last-entries">
          {items
            .slice(-LAST)
            .toReversed()
            .map((entry) => (
              <li key={entry.id}>
                <time dateTime={entry.at}>{formatClock(Date.parse(entry.at), site.zone, false)}</time> <strong>{describeEntry(entry, system, words)}</strong> <span className="soft">{entry.by}</span>
              </li>
            ))}
        </ol>
      </section>
    </main>
  );
}

/** Between shifts there is nothing to ask for. */
async function nothing(): Promise<{ readonly ok: false; readonly status: number; readonly detail: string }> {
  return { ok: false, status: 404, detail: '' };
}

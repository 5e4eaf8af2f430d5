import { useEffect } from 'react';
import { useSeat } from '../../../hooks/desk-context.ts';
import { demonstrationHref } from './demonstration-href.ts';
import { useDemonstration } from './use-demonstration.ts';

/** Who looks first: the supervisor's role shows most. */
const FIRST_LOOK = 'supervisor';

/** The tab of the demonstration while that is on its way: it goes there by itself. */
export function DemonstrationTab() {
  const { words } = useSeat();
  const told = words.settingsScreen.demonstration;
  const { now, failure, start } = useDemonstration();
  useEffect(start, [start]);
  useEffect(() => {
    if (now?.state === 'running') window.location.replace(demonstrationHref(now, FIRST_LOOK));
  }, [now]);
  return (
    <main className="sheet" data-testid="demonstration-tab">
      <p className="band band--demo">
        <strong>{words.demoBand}</strong> <span>{words.demoText}</span>
      </p>
      {failure !== null || now?.state === 'failed' ? (
        <p className="sheet__empty" role="alert">
          {failure === null ? told.failed(words.problem(now?.why ?? '')) : words.problem(failure) || words.settingsScreen.unreachable}
        </p>
      ) : (
        <p className="sheet__empty" role="status">
          {told.starting} {told.goesThere}
        </p>
      )}
    </main>
  );
}

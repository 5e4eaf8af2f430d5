import { useSeat } from '../../../hooks/desk-context.ts';
import { routeHref } from '../../../page/route.ts';
import { demonstrationHref, isWithinReach } from './demonstration-href.ts';
import { useDemonstration } from './use-demonstration.ts';

/** A made-up site one tap away from an empty Potside: opened in a tab of its own, with who may sign in there, and ended here. */
export function DemonstrationPanel() {
  const { words } = useSeat();
  const told = words.settingsScreen.demonstration;
  const { now, failure, start, end } = useDemonstration();
  const isOn = now?.state === 'starting' || now?.state === 'running';
  return (
    <aside className="first__demo" data-testid="demonstration" aria-label={told.title}>
      <h3>{told.title}</h3>
      <p>{told.text}</p>
      <p role="status">{now?.state === 'starting' ? told.starting : now?.state === 'running' ? told.runs : ''}</p>
      {now?.state === 'running' ? (
        <ul className="first__people">
          {now.people.map(({ name, password, role }) => (
            <li key={name} data-testid={`demo-${name}`}>
              <a className="action action--link action--quiet" href={demonstrationHref(now, name)} target="_blank" rel="noopener">
                {told.as(words.roles[role])}
              </a>
              <span>
                {name}, <code>{password}</code>
              </span>
            </li>
          ))}
        </ul>
      ) : null}
      <p className="first__failure" role="alert">
        {failure !== null ? words.problem(failure) || words.settingsScreen.unreachable : now?.state === 'failed' ? told.failed(words.problem(now.why ?? '')) : ''}
      </p>
      {isOn ? (
        <button type="button" className="action action--quiet" data-testid="end-demonstration" onClick={end}>
          {told.end}
        </button>
      ) : isWithinReach(window.location.hostname) ? (
        // The tab is opened by the tap itself, and waits there: browsers keep pages from opening one seconds later.
        <a className="action action--link action--quiet" data-testid="open-demonstration" href={routeHref('demonstration')} target="_blank" rel="noopener" onClick={start}>
          {told.open}
        </a>
      ) : (
        <p>
          {told.elsewhere} <code>npx potside demo</code>
        </p>
      )}
    </aside>
  );
}

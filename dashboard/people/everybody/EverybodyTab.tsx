import { useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { type Person, readList } from '../../api/people.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { routeHref } from '../../page/route.ts';
import { Fetched, Panel } from '../parts.tsx';
import { sitesText } from '../sites-text.ts';
import { AddPerson } from './AddPerson.tsx';
import { PersonPanel } from './PersonPanel.tsx';

export interface EverybodyTabProps {
  readonly sites: readonly LiveSite[];
  readonly zone: string;
  /** Name of the person who is being changed. */
  readonly opened: string | null;
}

/** Who may sign in, as what, and what they see. */
export function EverybodyTab({ sites, zone, opened }: EverybodyTabProps) {
  const { words } = useSeat();
  const told = words.people.list;
  const people = useAnswer('people', () => readList<Person>('/api/people'));
  const [isAdding, setAdding] = useState(false);
  return (
    <Fetched asked={people}>
      {({ items }) => {
        const person = items.find(({ name }) => name === opened);
        if (person) return <PersonPanel key={person.name} person={person} sites={sites} zone={zone} onChanged={people.again} />;
        return (
          <Panel title={told.region} testId="people-list">
            <div className="panel__keys">
              <button type="button" className="action" data-testid="add-person" aria-expanded={isAdding} onClick={() => setAdding(!isAdding)}>
                {told.add}
              </button>
            </div>
            {isAdding ? (
              <AddPerson
                sites={sites}
                zone={zone}
                onDone={() => {
                  setAdding(false);
                  people.again();
                }}
              />
            ) : null}
            <ul className="rows-list">
              {items.map((one) => (
                <li key={one.name} className="row" data-testid={`person-${one.name}`} data-disabled={one.disabled || undefined}>
                  <div className="row__what">
                    <strong>{one.name}</strong>
                    <span>{words.roles[one.role] ?? one.role}</span>
                    <span className="soft">{sitesText(one.sites, words.people)}</span>
                    <span className="soft">{marksOf(one, told)}</span>
                  </div>
                  <a className="action action--quiet action--link" href={routeHref('people', {}, ['everybody', one.name])} aria-label={`${told.open}: ${one.name}`}>
                    {told.open}
                  </a>
                </li>
              ))}
            </ul>
          </Panel>
        );
      }}
    </Fetched>
  );
}

function marksOf({ disabled, hasPassword, hasPin, hasTotp }: Person, told: ReturnType<typeof useSeat>['words']['people']['list']): string {
  return [disabled ? told.disabled : '', hasPassword ? '' : told.noPassword, hasPin ? told.marks.pin : '', hasTotp ? told.marks.totp : ''].filter((mark) => mark !== '').join(', ');
}

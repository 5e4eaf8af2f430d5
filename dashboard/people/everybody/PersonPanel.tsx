import { type FormEvent, useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { type Person, personPath } from '../../api/people.ts';
import { ROLES } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { routeHref } from '../../page/route.ts';
import { Select } from '../../ui/Select.tsx';
import { ContactPanel } from '../own/ContactPanel.tsx';
import { Failure, Panel, Text } from '../parts.tsx';
import { useRequest } from '../use-request.ts';
import { CodeDialog, type Code } from './CodeDialog.tsx';
import { SitesChoice } from './SitesChoice.tsx';

export interface PersonPanelProps {
  readonly person: Person;
  readonly sites: readonly LiveSite[];
  readonly zone: string;
  readonly onChanged: () => void;
}

/** One person: what they are, what they see, how they sign in, how they are told. */
export function PersonPanel({ person, sites, zone, onChanged }: PersonPanelProps) {
  const { words } = useSeat();
  const told = words.people.list;
  const { name } = person;
  const { isSending, failure, fail, send } = useRequest();
  const [role, setRole] = useState<string>(person.role);
  const [seen, setSeen] = useState(person.sites);
  const change = async (body: unknown): Promise<boolean> => {
    const { ok } = await send(personPath(name), { method: 'POST', body });
    if (ok) onChanged();
    return ok;
  };
  const submit = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (seen?.length === 0) return fail(told.pickSite);
    await change({ role, sites: seen });
  };
  return (
    <>
      <nav className="people__back">
        <a className="action action--quiet action--link" href={routeHref('people', {}, ['everybody'])}>
          {told.back}
        </a>
      </nav>
      <div className="panels">
        <Panel title={name} testId="person">
          <form className="panel__form" noValidate onSubmit={(event) => void submit(event)}>
            {person.disabled ? <p className="panel__lead">{told.disabled}</p> : null}
            <Select label={told.role} value={role} options={ROLES.map((one) => [one, words.roles[one]])} onChange={setRole} />
            <SitesChoice sites={sites} chosen={seen} onChange={setSeen} />
            <Failure text={failure} />
            <div className="panel__keys">
              <button type="submit" className="action" data-testid="person-save" disabled={isSending}>
                {told.saveDo}
              </button>
              <button type="button" className="action action--quiet" data-testid="person-disable" disabled={isSending} onClick={() => void change({ disabled: !person.disabled })}>
                {person.disabled ? told.enable : told.disable}
              </button>
            </div>
          </form>
        </Panel>
        <SigningIn person={person} zone={zone} onChanged={onChanged} />
        <ContactPanel path={personPath(name, 'contact')} title={words.people.contact.regionOf(name)} />
      </div>
    </>
  );
}

/** One-time code, PIN, and a second factor that was lost. */
function SigningIn({ person, zone, onChanged }: Omit<PersonPanelProps, 'sites'>) {
  const { words, session } = useSeat();
  const told = words.people.list;
  const { name, hasPassword, hasPin, hasTotp, disabled } = person;
  const { isSending, failure, send } = useRequest();
  const [pin, setPin] = useState('');
  const [code, setCode] = useState<Code | null>(null);
  const change = async (body: unknown): Promise<void> => {
    if (!(await send(personPath(name), { method: 'POST', body })).ok) return;
    setPin('');
    onChanged();
  };
  const makeCode = async (): Promise<void> => {
    const made = await send<Omit<Code, 'name'>>(personPath(name, 'one-time-code'), { method: 'POST' });
    if (made.ok) setCode({ ...made.body, name });
  };
  return (
    <Panel title={told.signing} testId="signing-in">
      {hasPassword ? null : <p>{told.noPassword}</p>}
      {/* Your own is changed with the old one, under You. */}
      {name === session.name || disabled ? null : (
        <div className="panel__keys">
          <button type="button" className="action" data-testid="make-code" disabled={isSending} onClick={() => void makeCode()}>
            {told.code}
          </button>
        </div>
      )}
      <form
        className="panel__form"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void change({ pin });
        }}
      >
        <Text label={told.pinNew} type="password" inputMode="numeric" maxLength={8} value={pin} onChange={setPin} />
        <p className="panel__rule">{told.pinRule}</p>
        <Failure text={failure} />
        <div className="panel__keys">
          <button type="submit" className="action" data-testid="pin-set" disabled={isSending || pin === ''}>
            {told.pinSet}
          </button>
          {hasPin ? (
            <button type="button" className="action action--quiet" disabled={isSending} onClick={() => void change({ pin: null })}>
              {told.pinRemove}
            </button>
          ) : null}
          {hasTotp ? (
            <button type="button" className="action action--quiet" disabled={isSending} onClick={() => void change({ secondFactor: null })}>
              {told.totpRemove}
            </button>
          ) : null}
        </div>
      </form>
      {code ? <CodeDialog code={code} zone={zone} onClose={() => setCode(null)} /> : null}
    </Panel>
  );
}

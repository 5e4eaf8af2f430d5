import { type FormEvent, useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { personPath } from '../../api/people.ts';
import { ROLES } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Select } from '../../ui/Select.tsx';
import { Failure, Text } from '../parts.tsx';
import { useRequest } from '../use-request.ts';
import { CodeDialog, type Code } from './CodeDialog.tsx';
import { SitesChoice } from './SitesChoice.tsx';

/** A new person comes without a password: they choose it with the code that is shown here once. */
export function AddPerson({ sites, zone, onDone }: { readonly sites: readonly LiveSite[]; readonly zone: string; readonly onDone: () => void }) {
  const { words } = useSeat();
  const told = words.people.list;
  const { isSending, failure, fail, send } = useRequest();
  const [name, setName] = useState('');
  const [role, setRole] = useState<string>('tender');
  const [seen, setSeen] = useState<readonly string[] | null>(null);
  const [code, setCode] = useState<Code | null>(null);
  const submit = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (name.trim() === '') return fail(told.noName);
    if (seen?.length === 0) return fail(told.pickSite);
    const added = await send('/api/people', { method: 'POST', body: { name: name.trim(), role, sites: seen } });
    if (!added.ok) return;
    const made = await send<Omit<Code, 'name'>>(personPath(name.trim(), 'one-time-code'), { method: 'POST' });
    if (made.ok) setCode({ ...made.body, name: name.trim() });
    else onDone();
  };
  return (
    <form className="panel__form panel__form--boxed" noValidate onSubmit={(event) => void submit(event)} data-testid="add-person-form">
      <Text label={told.name} maxLength={64} value={name} onChange={setName} />
      <Select label={told.role} value={role} options={ROLES.map((one) => [one, words.roles[one]])} onChange={setRole} />
      <SitesChoice sites={sites} chosen={seen} onChange={setSeen} />
      <p className="panel__rule">{told.added}</p>
      <Failure text={failure} />
      <div className="panel__keys">
        <button type="submit" className="action" data-testid="add-do" disabled={isSending}>
          {told.addDo}
        </button>
      </div>
      {code ? <CodeDialog code={code} zone={zone} onClose={onDone} /> : null}
    </form>
  );
}

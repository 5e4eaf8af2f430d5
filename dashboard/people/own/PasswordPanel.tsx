import { type FormEvent, useState } from 'react';
import { useSeat } from '../../hooks/desk-context.ts';
import { Failure, Panel, Text } from '../parts.tsx';
import { useRequest } from '../use-request.ts';

export function PasswordPanel() {
  const { words } = useSeat();
  const told = words.people.password;
  const { isSending, failure, send } = useRequest();
  const [old, setOld] = useState('');
  const [next, setNext] = useState('');
  const [isDone, setDone] = useState(false);
  const submit = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    const { ok } = await send('/api/password', { method: 'POST', body: { password: old, new: next } });
    setDone(ok);
    if (!ok) return;
    setOld('');
    setNext('');
  };
  return (
    <Panel title={told.region} testId="own-password">
      <form className="panel__form" onSubmit={(event) => void submit(event)}>
        <Text label={told.old} type="password" autoComplete="current-password" value={old} onChange={setOld} />
        <Text label={told.new} type="password" autoComplete="new-password" value={next} onChange={setNext} />
        <p className="panel__rule">{told.rule}</p>
        <Failure text={failure} />
        <div className="panel__keys">
          <button type="submit" className="action" data-testid="password-change" disabled={isSending || old === '' || next === ''}>
            {told.change}
          </button>
          <p role="status">{isDone ? told.changed : ''}</p>
        </div>
      </form>
    </Panel>
  );
}

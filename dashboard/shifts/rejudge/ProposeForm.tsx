import { type FormEvent, useState } from 'react';
import { type AlarmChanges, type Rejudged, propose } from '../../api/rejudge.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { routeHref } from '../../page/route.ts';

export interface ProposeFormProps {
  readonly site: string;
  readonly alarms: AlarmChanges;
  readonly shifts: readonly string[];
  readonly rejudged: Rejudged;
}

/** Keeps what was tried, with its outcome, for one who may decide. */
export function ProposeForm({ site, alarms, shifts, rejudged }: ProposeFormProps) {
  const { words } = useSeat();
  const told = words.shifts.rejudge;
  const [reason, setReason] = useState('');
  const [failure, setFailure] = useState('');
  const [isSending, setSending] = useState(false);
  const [isDone, setDone] = useState(false);
  if (isDone) {
    return (
      <p role="status">
        {told.proposed} <a href={routeHref('shifts', {}, ['proposals'])}>{words.shifts.proposals}</a>
      </p>
    );
  }
  const send = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (reason.trim() === '') return setFailure(words.shifts.needWords);
    setSending(true);
    const answer = await propose({ site, alarms, reason: reason.trim(), shifts, before: rejudged.before, after: rejudged.after });
    setSending(false);
    setDone(answer.ok);
    if (!answer.ok) setFailure(answer.status === 0 ? words.alarms.failedUnreachable : `${words.alarms.failed} ${words.problem(answer.detail)}`.trim());
  };
  return (
    <form className="propose" noValidate onSubmit={(event) => void send(event)}>
      <label className="field">
        {told.why}
        <textarea name="reason" rows={2} maxLength={500} value={reason} onChange={(event) => setReason(event.target.value)} />
      </label>
      <button type="submit" className="action" data-testid="propose-do" disabled={isSending}>
        {isSending ? words.alarms.sending : told.propose}
      </button>
      <p className="alarm__failure" role="alert">
        {failure}
      </p>
    </form>
  );
}

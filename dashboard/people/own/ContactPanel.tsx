import { type FormEvent, useEffect, useState } from 'react';
import { LANGUAGES } from '../../../domain/shift/language.ts';
import type { Contact } from '../../api/people.ts';
import { callApi } from '../../api/call-api.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { Select } from '../../ui/Select.tsx';
import { Failure, Fetched, Panel, Text } from '../parts.tsx';
import { clockOfMinutes, minutesOfClock } from '../minutes.ts';
import { useRequest } from '../use-request.ts';

const EMAIL = /^[^\s@]+@[^\s@]+\.[^\s@]+$/;

/** E-mail, quiet hours and language of messages, one's own or, for an administrator, somebody else's. */
export function ContactPanel({ path, title }: { readonly path: string; readonly title: string }) {
  const contact = useAnswer(path, () => callApi<Contact>(path));
  return (
    <Panel title={title} testId="contact">
      <Fetched asked={contact}>{(held) => <ContactForm path={path} held={held} />}</Fetched>
    </Panel>
  );
}

function ContactForm({ path, held }: { readonly path: string; readonly held: Contact }) {
  const { words } = useSeat();
  const told = words.people.contact;
  const { isSending, failure, fail, send } = useRequest();
  const [email, setEmail] = useState('');
  const [from, setFrom] = useState('');
  const [to, setTo] = useState('');
  const [language, setLanguage] = useState('');
  const [isSaved, setSaved] = useState(false);
  useEffect(() => {
    setEmail(held.email ?? '');
    setFrom(held.quiet ? clockOfMinutes(held.quiet.fromMin) : '');
    setTo(held.quiet ? clockOfMinutes(held.quiet.toMin) : '');
    setLanguage(held.language ?? '');
  }, [held]);
  const clear = (): void => {
    setFrom('');
    setTo('');
  };
  const submit = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    setSaved(false);
    if (email.trim() !== '' && !EMAIL.test(email.trim())) return fail(told.wrongEmail);
    if ((from === '') !== (to === '')) return fail(told.wrongQuiet);
    const body = { email: email.trim() === '' ? null : email.trim(), quiet: from === '' ? null : { fromMin: minutesOfClock(from), toMin: minutesOfClock(to) }, language: language === '' ? null : language };
    setSaved((await send(path, { method: 'PUT', body })).ok);
  };
  return (
    <form className="panel__form" noValidate onSubmit={(event) => void submit(event)}>
      <Text label={told.email} type="email" autoComplete="email" maxLength={200} value={email} onChange={setEmail} />
      <fieldset className="panel__pair">
        <legend>{told.quiet}</legend>
        <Text label={told.from} type="time" value={from} onChange={setFrom} />
        <Text label={told.to} type="time" value={to} onChange={setTo} />
        <button type="button" className="action action--quiet" onClick={clear}>
          {told.noQuiet}
        </button>
      </fieldset>
      <Select label={told.language} value={language} all={told.siteLanguage} options={Object.entries(LANGUAGES)} onChange={setLanguage} />
      <p className="panel__rule">{told.rule}</p>
      <Failure text={failure} />
      <div className="panel__keys">
        <button type="submit" className="action" data-testid="contact-save" disabled={isSending}>
          {words.people.save}
        </button>
        <p role="status">{isSaved ? words.people.saved : ''}</p>
      </div>
    </form>
  );
}

import { type FormEvent, useEffect, useState } from 'react';
import { makeFirstAdministrator, readSession, readWaysIn, redeemCode, type Session, signIn, type WaysIn } from './api/session.ts';
import { parseRoute, routeHref } from './page/route.ts';
import { LanguageChoices } from './ui/LanguageChoices.tsx';
import type { Words } from './words/en.ts';
import type { Language } from '../domain/shift/language.ts';

type Way = 'password' | 'pin' | 'first' | 'code';

export interface SignInProps {
  readonly words: Words;
  readonly language: Language;
  readonly onLanguage: (language: Language) => void;
  readonly onSignedIn: (session: Session) => void;
}

export function SignIn({ words, language, onLanguage, onSignedIn }: SignInProps) {
  const [ways, setWays] = useState<WaysIn | null>(null);
  const [chosen, setChosen] = useState<Way | null>(null);
  const [isCodeNeeded, setCodeNeeded] = useState(false);
  const [isWorking, setWorking] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const [offered, setOffered] = useState<Offered | null>(null);

  useEffect(
    () =>
      void readWaysIn().then((answer) => {
        if (!answer.ok) return;
        setWays(answer.body);
        if (answer.body.demo) setOffered(takeOffered());
      }),
    [],
  );
  const way = chosen ?? (ways?.firstAdministrator ? 'first' : ways?.device ? 'pin' : 'password');

  const submit = async (event: FormEvent<HTMLFormElement>): Promise<void> => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    const [name, password, code] = [textOf(form, 'name'), textOf(form, 'password'), textOf(form, 'code')];
    setWorking(true);
    setFailure(null);
    const redeemed = way === 'code' ? await redeemCode(name, code, password) : null;
    // The code is used up: what is still asked for now belongs to signing in.
    if (redeemed?.ok) choose('password');
    const answer = redeemed?.ok === false ? redeemed : way === 'first' ? await makeFirstAdministrator(code, name, password) : await signIn(way === 'pin' ? { name, pin: textOf(form, 'pin') } : { name, password, ...(isCodeNeeded ? { code: code.replaceAll(' ', '') } : {}) });
    const session = answer.ok ? await readSession() : answer;
    setWorking(false);
    if (session.ok) return onSignedIn(session.body);
    if (session.type === 'code-needed') {
      setCodeNeeded(true);
      setFailure(words.signIn.codeNeeded);
    } else setFailure(session.status === 0 ? words.signIn.unreachable : session.status === 401 ? words.signIn.refused : words.problem(session.detail) || words.signIn.failed(session.status));
  };

  const choose = (next: Way): void => {
    setChosen(next);
    setCodeNeeded(false);
    setFailure(null);
  };

  return (
    <main className="sign-in">
      <form className="sign-in__form" onSubmit={(event) => void submit(event)} data-testid="sign-in">
        {ways?.demo ? (
          <p className="band band--demo" data-testid="demo-band">
            <strong>{words.demoBand}</strong> <span>{words.demoText}</span>
          </p>
        ) : null}
        <h1>{words.product}</h1>
        <p className="sign-in__about">{way === 'first' ? words.signIn.first : way === 'code' ? words.signIn.codeAbout : words.signIn.about}</p>
        {way === 'first' || way === 'code' ? <Field name="code" label={words.signIn.firstCode} autoComplete="off" /> : null}
        <Field key={`name ${offered?.name}`} name="name" label={words.signIn.name} autoComplete="username" value={offered?.name} />
        {way === 'pin' ? (
          <Field name="pin" label={words.signIn.pin} type="password" inputMode="numeric" autoComplete="off" />
        ) : (
          <Field key={`password ${offered?.name}`} name="password" value={offered?.password} label={way === 'code' ? words.signIn.newPassword : words.signIn.password} type="password" autoComplete={way === 'password' ? 'current-password' : 'new-password'} />
        )}
        {way === 'password' && isCodeNeeded ? <Field name="code" label={words.signIn.code} inputMode="numeric" autoComplete="one-time-code" /> : null}
        {ways?.demo ? <p className="sign-in__about">{words.signIn.demo}</p> : null}
        {failure ? (
          <p className="sign-in__failure" role="alert">
            {failure}
          </p>
        ) : null}
        <button type="submit" className="action" disabled={isWorking}>
          {isWorking ? words.signIn.working : way === 'first' ? words.signIn.firstSubmit : way === 'code' ? words.signIn.codeSubmit : words.signIn.submit}
        </button>
        {ways?.device && way === 'password' ? <OtherWay onChoose={() => choose('pin')}>{words.signIn.withPin(ways.device)}</OtherWay> : null}
        {way === 'password' ? <OtherWay onChoose={() => choose('code')}>{words.signIn.withCode}</OtherWay> : null}
        {way === 'pin' || way === 'code' ? <OtherWay onChoose={() => choose('password')}>{words.signIn.withPassword}</OtherWay> : null}
        {ways?.openId && way !== 'first' ? <a href="/api/open-id/start">{words.signIn.company(ways.openId)}</a> : null}
        <LanguageChoices legend={words.settings.language} chosen={language} onChoose={onLanguage} />
        <p className="sign-in__advice">{words.advice}</p>
      </form>
    </main>
  );
}

interface Offered {
  readonly name: string;
  readonly password: string;
}

/** Who a link to the demonstration signs in as; taken out of the address, where it has no business afterwards. */
function takeOffered(): Offered | null {
  const { query } = parseRoute(window.location.hash);
  const [name, password] = [query.get('name'), query.get('password')];
  if (name === null || password === null) return null;
  window.history.replaceState(null, '', routeHref('watch'));
  return { name, password };
}

interface FieldProps {
  readonly name: string;
  readonly label: string;
  readonly type?: 'text' | 'password';
  readonly inputMode?: 'numeric';
  readonly autoComplete: string;
  /** What stands in it at first. */
  readonly value?: string | undefined;
}

function Field({ name, label, type = 'text', inputMode, autoComplete, value }: FieldProps) {
  return (
    <label>
      {label}
      <input name={name} type={type} inputMode={inputMode} autoComplete={autoComplete} defaultValue={value} autoCapitalize="none" spellCheck={false} required />
    </label>
  );
}

function OtherWay({ onChoose, children }: { readonly onChoose: () => void; readonly children: string }) {
  return (
    <button type="button" className="action action--quiet" onClick={onChoose}>
      {children}
    </button>
  );
}

function textOf(form: FormData, field: string): string {
  const value = form.get(field);
  return typeof value === 'string' ? value : '';
}

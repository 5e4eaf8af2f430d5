import { type FormEvent, useState } from 'react';
import { type Session, readSession, signIn } from './api/session.ts';
import { defaultWords as words } from './hooks/desk-context.ts';

export function SignIn({ onSignedIn }: { onSignedIn: (session: Session) => void }) {
  const [isWorking, setWorking] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);

  const submit = async (event: FormEvent<HTMLFormElement>): Promise<void> => {
    event.preventDefault();
    const form = new FormData(event.currentTarget);
    setWorking(true);
    setFailure(null);
    const answer = await signIn(textOf(form, 'name'), textOf(form, 'password'));
    const session = answer.ok ? await readSession() : answer;
    setWorking(false);
    if (session.ok) onSignedIn(session.body);
    else setFailure(session.status === 401 ? words.signIn.refused : session.status === 0 ? words.signIn.unreachable : session.detail || words.signIn.failed(session.status));
  };

  return (
    <main className="sign-in">
      <form className="sign-in__form" onSubmit={(event) => void submit(event)} data-testid="sign-in">
        <h1>{words.product}</h1>
        <p className="sign-in__about">{words.signIn.about}</p>
        <label>
          {words.signIn.name}
          <input name="name" autoComplete="username" autoCapitalize="none" spellCheck={false} required />
        </label>
        <label>
          {words.signIn.password}
          <input name="password" type="password" autoComplete="current-password" required />
        </label>
        {failure ? (
          <p className="sign-in__failure" role="alert">
            {failure}
          </p>
        ) : null}
        <button type="submit" className="action" disabled={isWorking}>
          {isWorking ? words.signIn.working : words.signIn.submit}
        </button>
        <p className="sign-in__advice">{words.advice}</p>
      </form>
    </main>
  );
}

function textOf(form: FormData, field: string): string {
  const value = form.get(field);
  return typeof value === 'string' ? value : '';
}

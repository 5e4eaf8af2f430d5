import { useCallback, useEffect, useMemo, useState } from 'react';
import { type Session, readSession, signOut } from './api/session.ts';
import { SeatContext } from './hooks/desk-context.ts';
import { useStore } from './hooks/use-store.ts';
import { useWords } from './hooks/use-words.ts';
import { SignIn } from './SignIn.tsx';
import type { Desk } from './store/desk.ts';
import { Page } from './page/Page.tsx';

type Who = 'asking' | 'unreachable' | 'nobody' | Session;

/** How often an unreachable server is tried before anyone is known to be signed in. */
const TRY_AGAIN_MS = 2_000;

export function App({ desk }: { desk: Desk }) {
  const [who, setWho] = useState<Who>('asking');
  const preferences = useStore(desk.preferences);
  const { theme, language } = preferences;
  const words = useWords(language);
  const ask = useCallback(async () => {
    const answer = await readSession();
    if (answer.ok) setWho((was) => (typeof was === 'object' && was.name === answer.body.name && was.role === answer.body.role ? was : answer.body));
    else if (answer.status === 401) setWho('nobody');
    // A server that doesn't answer signs nobody out: who was watching goes on seeing that nothing is live.
    else setWho((was) => (was === 'asking' ? 'unreachable' : was));
  }, []);

  useEffect(() => {
    document.documentElement.dataset['theme'] = theme;
  }, [theme]);
  useEffect(() => {
    if (words) document.documentElement.lang = words.language;
  }, [words]);
  useEffect(() => void ask(), [ask]);
  useEffect(() => {
    if (who !== 'unreachable') return;
    const timer = setInterval(() => void ask(), TRY_AGAIN_MS);
    return () => clearInterval(timer);
  }, [who, ask]);

  const isIn = typeof who === 'object';
  useEffect(() => (isIn ? desk.open(() => void ask()) : undefined), [desk, isIn, ask]);
  const seat = useMemo(() => (typeof who === 'object' && words ? { desk, session: who, words } : null), [desk, who, words]);

  if (who === 'asking' || !words) return null;
  if (who === 'unreachable') {
    return (
      <p className="sheet__empty" role="alert">
        {words.signIn.unreachable}
      </p>
    );
  }
  if (!seat) return <SignIn words={words} language={language} onLanguage={(chosen) => desk.preferences.set({ ...preferences, language: chosen })} onSignedIn={setWho} />;
  return (
    <SeatContext value={seat}>
      <Page
        onSignOut={() => {
          void signOut().then(() => setWho('nobody'));
        }}
      />
    </SeatContext>
  );
}

import { useCallback, useEffect, useMemo, useState } from 'react';
import { type Session, readSession, signOut } from './api/session.ts';
import { SeatContext, defaultWords } from './hooks/desk-context.ts';
import { useStore } from './hooks/use-store.ts';
import { SignIn } from './SignIn.tsx';
import type { Desk } from './store/desk.ts';
import { Page } from './page/Page.tsx';

type Who = 'asking' | 'unreachable' | 'nobody' | Session;

/** How often an unreachable server is tried before anyone is known to be signed in. */
const TRY_AGAIN_MS = 2_000;

export function App({ desk }: { desk: Desk }) {
  const [who, setWho] = useState<Who>('asking');
  const { theme } = useStore(desk.preferences);
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
  useEffect(() => void ask(), [ask]);
  useEffect(() => {
    if (who !== 'unreachable') return;
    const timer = setInterval(() => void ask(), TRY_AGAIN_MS);
    return () => clearInterval(timer);
  }, [who, ask]);

  const isIn = typeof who === 'object';
  useEffect(() => (isIn ? desk.open(() => void ask()) : undefined), [desk, isIn, ask]);
  const seat = useMemo(() => (typeof who === 'object' ? { desk, session: who, words: defaultWords } : null), [desk, who]);

  if (who === 'asking') return null;
  if (who === 'unreachable') {
    return (
      <p className="sheet__empty" role="alert">
        {defaultWords.signIn.unreachable}
      </p>
    );
  }
  if (!seat) return <SignIn onSignedIn={setWho} />;
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

import { useCallback, useEffect, useMemo, useState } from 'react';
import { type Session, readSession, signOut } from './api/session.ts';
import { SeatContext, defaultWords } from './hooks/desk-context.ts';
import { useStore } from './hooks/use-store.ts';
import { SignIn } from './SignIn.tsx';
import type { Desk } from './store/desk.ts';
import { Watch } from './watch/Watch.tsx';

type Who = 'asking' | 'nobody' | Session;

export function App({ desk }: { desk: Desk }) {
  const [who, setWho] = useState<Who>('asking');
  const { theme } = useStore(desk.preferences);
  const ask = useCallback(async () => {
    const answer = await readSession();
    setWho(answer.ok ? answer.body : 'nobody');
  }, []);

  useEffect(() => {
    document.documentElement.dataset['theme'] = theme;
  }, [theme]);
  useEffect(() => void ask(), [ask]);

  const isIn = typeof who === 'object';
  useEffect(() => (isIn ? desk.open(() => void ask()) : undefined), [desk, isIn, ask]);
  const seat = useMemo(() => (typeof who === 'object' ? { desk, session: who, words: defaultWords } : null), [desk, who]);

  if (who === 'asking') return null;
  if (!seat) return <SignIn onSignedIn={setWho} />;
  return (
    <SeatContext value={seat}>
      <Watch
        onSignOut={() => {
          void signOut().then(() => setWho('nobody'));
        }}
      />
    </SeatContext>
  );
}

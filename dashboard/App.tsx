import { useCallback, useEffect, useLayoutEffect, useMemo, useRef, useState } from 'react';
import { type Session, readSession, signOut } from './api/session.ts';
import { SeatContext } from './hooks/desk-context.ts';
import { useStore } from './hooks/use-store.ts';
import { useWords } from './hooks/use-words.ts';
import { SignIn } from './SignIn.tsx';
import type { Desk } from './store/desk.ts';
import type { KeptState } from './store/kept-state.ts';
import { Page } from './page/Page.tsx';

type Who = 'asking' | 'unreachable' | 'nobody' | Session;

/** How often an unreachable server is tried before anyone is known to be signed in. */
const TRY_AGAIN_MS = 2_000;

export function App({ desk }: { desk: Desk }) {
  const [who, setWho] = useState<Who>('asking');
  /** Set while the page was opened without its server: what this device showed last. */
  const old = useRef<KeptState | null>(null);
  const preferences = useStore(desk.preferences);
  const { theme, language } = preferences;
  const words = useWords(language);
  const ask = useCallback(async () => {
    const answer = await readSession();
    if (answer.ok) setWho((was) => (typeof was === 'object' && was.name === answer.body.name && was.role === answer.body.role ? was : answer.body));
    else if (answer.status === 401) {
      desk.forgetLastState();
      setWho('nobody');
    }
    // A server that doesn't answer signs nobody out: who was watching goes on seeing that nothing is live.
    else {
      const last = desk.lastState();
      setWho((was) => {
        if (was !== 'asking') return was;
        old.current = last;
        return last?.session ?? 'unreachable';
      });
    }
  }, [desk]);

  useEffect(() => {
    document.documentElement.dataset['theme'] = theme;
  }, [theme]);
  useEffect(() => {
    if (words) document.documentElement.lang = words.language;
  }, [words]);
  // Asked, and the link opened, before anything is painted: the server works while this page does.
  useLayoutEffect(() => void ask(), [ask]);
  useEffect(() => {
    if (who !== 'unreachable') return;
    const timer = setInterval(() => void ask(), TRY_AGAIN_MS);
    return () => clearInterval(timer);
  }, [who, ask]);

  useLayoutEffect(() => {
    if (typeof who !== 'object') return undefined;
    const shown = old.current;
    old.current = null;
    return desk.open(who, () => void ask(), shown);
  }, [desk, who, ask]);
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
          void signOut().then(() => {
            desk.forgetLastState();
            setWho('nobody');
          });
        }}
      />
    </SeatContext>
  );
}

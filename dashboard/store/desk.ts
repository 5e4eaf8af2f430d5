import type { Session } from '../api/session.ts';
import { formatClock } from '../format/clock.ts';
import { type LinkFeed, type LiveLink, initialFeed, openLiveLink } from '../link/live-link.ts';
import { watchSleep } from '../link/watch-sleep.ts';
import { SOUND_OFF } from '../sound/next-sound.ts';
import { type SoundDesk, openSound } from '../sound/open-sound.ts';
import { createWebAudioPlayer } from '../sound/web-audio-player.ts';
import { type KeptState, dropKeptState, readKeptState, restore, toKeep, writeKeptState } from './kept-state.ts';
import { NOTHING_YET, type LiveState } from './live-state.ts';
import { createPace } from './pace.ts';
import { type Preferences, readPreferences, writePreferences } from './preferences.ts';
import { type Store, createStore } from './store.ts';

/** All state of the page, without React. Made once by `main`, and again by each test that wants one. */
export interface Desk {
  readonly live: Store<LiveState>;
  readonly feed: Store<LinkFeed>;
  /** Monotonic time, renewed twice a second: what ages are drawn from. */
  readonly tick: Store<number>;
  readonly preferences: Store<Preferences>;
  readonly sound: SoundDesk;
  /** Opens the link for a signed-in person; the result closes it. `old`: shown as what it is until the server speaks. */
  open(session: Session, onDoubt: () => void, old?: KeptState | null): () => void;
  /** What this device showed last; null where nothing was kept. */
  lastState(): KeptState | null;
  forgetLastState(): void;
}

const TICK_MS = 500;
/** How often what is shown is kept for a page opened without its server; more often would only wear the disk. */
const KEEP_MS = 10_000;

export function createDesk(storage: Storage | null, preferredLanguages: readonly string[] = []): Desk {
  const now = (): number => performance.now();
  const pace = createPace();
  // Once a task, however many frames came in it.
  const feedPace = createPace(0);
  const live = createStore<LiveState>(NOTHING_YET, pace.schedule);
  const feed = createStore<LinkFeed>(initialFeed(now()), feedPace.schedule);
  const tick = createStore(now());
  const preferences = createStore(readPreferences(storage, preferredLanguages));
  preferences.subscribe(() => writePreferences(storage, preferences.get()));

  const sound = openSound({ sound: createStore(SOUND_OFF), live, feed, tick, now, createPlayer: createWebAudioPlayer });

  return {
    live,
    feed,
    tick,
    preferences,
    sound,
    lastState: () => readKeptState(storage),
    forgetLastState: () => dropKeptState(storage),
    open(session, onDoubt, old = null) {
      const start = old ? restore(old, initialFeed(now()), now(), Date.now()) : undefined;
      // The first formatter takes its time: it is made while the server is being asked, not while the first figures wait to be drawn.
      setTimeout(() => formatClock(Date.now(), 'UTC', false));
      const link: LiveLink = openLiveLink({ live, feed, now, onUrgent: pace.hurry, onDoubt, start });
      const keep = (): void => {
        const state = toKeep(session, live.get(), feed.get(), now(), Date.now());
        if (state) writeKeptState(storage, state);
      };
      const keeper = setInterval(keep, KEEP_MS);
      window.addEventListener('pagehide', keep);
      const timer = setInterval(() => tick.set(now()), TICK_MS);
      const hush = sound.open();
      const unwatch = watchSleep(() => {
        link.distrust();
        // Before the next frame is painted, not a task later.
        feedPace.hurry();
        pace.hurry();
        tick.set(now());
      });
      return () => {
        clearInterval(timer);
        clearInterval(keeper);
        window.removeEventListener('pagehide', keep);
        unwatch();
        hush();
        link.close();
      };
    },
  };
}

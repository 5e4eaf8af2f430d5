import { type LinkFeed, type LiveLink, initialFeed, openLiveLink } from '../link/live-link.ts';
import { watchSleep } from '../link/watch-sleep.ts';
import { SOUND_OFF } from '../sound/next-sound.ts';
import { type SoundDesk, openSound } from '../sound/open-sound.ts';
import { createWebAudioPlayer } from '../sound/web-audio-player.ts';
import { batch } from './batch.ts';
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
  /** Opens the link for a signed-in person; the result closes it. */
  open(onDoubt: () => void): () => void;
}

const TICK_MS = 500;

export function createDesk(storage: Storage | null, preferredLanguages: readonly string[] = []): Desk {
  const now = (): number => performance.now();
  const pace = createPace();
  const live = createStore<LiveState>(NOTHING_YET, pace.schedule);
  const feed = createStore<LinkFeed>(initialFeed(now()), batch);
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
    open(onDoubt) {
      const link: LiveLink = openLiveLink({ live, feed, now, onUrgent: pace.hurry, onDoubt });
      const timer = setInterval(() => tick.set(now()), TICK_MS);
      const hush = sound.open();
      const unwatch = watchSleep(() => {
        link.distrust();
        tick.set(now());
      });
      return () => {
        clearInterval(timer);
        unwatch();
        hush();
        link.close();
      };
    },
  };
}

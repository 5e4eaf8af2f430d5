import { LINK_DEAD_MS } from '../link/link-state.ts';
import type { LiveState } from '../store/live-state.ts';
import type { Store } from '../store/store.ts';
import { type Pattern, type Sound, type SoundEvent, heard, nextSound } from './next-sound.ts';
import { soundCauses } from './sound-causes.ts';
import type { Player } from './player.ts';

export interface SoundDesk {
  readonly sound: Store<Sound>;
  /** Within a person's touch. */
  arm(): void;
  disarm(): void;
  silence(): void;
  unsilence(): void;
  test(pattern: Pattern): void;
  /** Listens to what stands until the result is called. */
  open(): () => void;
}

export interface SoundParts {
  readonly sound: Store<Sound>;
  readonly live: Store<LiveState>;
  /** When the server was last heard, on the clock of `now`. */
  readonly feed: { get(): { readonly frameAtMs: number | null } };
  readonly tick: Store<number>;
  readonly now: () => number;
  readonly createPlayer: (onBlocked: (isBlocked: boolean) => void) => Player;
}

/** Joins what stands to what is heard. It sounds for all that this person may see, whatever screen is open. */
export function openSound({ sound, live, feed, tick, now, createPlayer }: SoundParts): SoundDesk {
  const player = createPlayer((isBlocked) => step({ kind: 'blocked', isBlocked }));
  function step(event: SoundEvent): void {
    sound.update((s) => nextSound(s, event));
    player.play(heard(sound.get()));
  }
  const listen = (): void => {
    const { frameAtMs } = feed.get();
    const causes = soundCauses(live.get().alarms, frameAtMs !== null && now() - frameAtMs > LINK_DEAD_MS);
    const isSame = JSON.stringify(causes) === JSON.stringify(sound.get().causes);
    if (!isSame) step({ kind: 'causes', causes });
  };
  return {
    sound,
    arm() {
      player.unlock();
      step({ kind: 'arm' });
    },
    disarm: () => step({ kind: 'disarm' }),
    silence: () => step({ kind: 'silence', atMs: now() }),
    unsilence: () => step({ kind: 'unsilence' }),
    test(pattern) {
      player.unlock();
      step({ kind: 'test', pattern, atMs: now() });
    },
    open() {
      const stops = [
        live.subscribe(listen),
        tick.subscribe(() => {
          listen();
          step({ kind: 'tick', atMs: now() });
        }),
      ];
      listen();
      return () => {
        for (const stop of stops) stop();
        step({ kind: 'disarm' });
        player.close();
      };
    },
  };
}

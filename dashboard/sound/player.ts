import type { Pattern } from './next-sound.ts';

/** What makes the sound; another one stands in for it in tests. */
export interface Player {
  /** Only within a person's touch: browsers hold sound back until then. */
  unlock(): void;
  play(pattern: Pattern | null): void;
  close(): void;
}

import type { EntryKind } from '../../domain/alarms/situation.ts';

/** What a crew tells Potside, without who says it. */
export type Told =
  | { readonly kind: 'start-shift'; readonly rig: string }
  | { readonly kind: 'hood-in'; readonly rig: string; readonly name: string }
  | { readonly kind: 'entry'; readonly rig: string; readonly entry: EntryKind; readonly value: number | null; readonly place: string; readonly text: string };

const NAMES = ['Ray', 'Sam', 'Kim', 'Ali', 'Jo', 'Max'];
/** The needle is read this long into a burst, when the line has settled. */
const NEEDLE_AFTER_S = 30;
const BLOTTER_EVERY_S = 4.9 * 3600;
const SPOT_EVERY_S = 3.9 * 3600;

/**
 * What an orderly crew does: at the start of the shift the tests, then a needle reading in the first settled burst, and later what is
 * due before it is overdue. Asked once a second; answers with what is told now. It knows nothing of the script.
 */
export class Crew {
  readonly #rigs: readonly string[];
  readonly #startMs: number;
  readonly #blastingS = new Map<string, number>();
  readonly #hasNeedle = new Set<string>();
  readonly #lastS = new Map<string, number>();

  constructor(rigs: readonly string[], startMs: number) {
    this.#rigs = rigs;
    this.#startMs = startMs;
  }

  due(atMs: number, isBlasting: (rig: string) => boolean): Told[] {
    const s = Math.round((atMs - this.#startMs) / 1000);
    return this.#rigs.flatMap((rig, index) => {
      const told: Told[] = [];
      const entry = (kind: EntryKind, value: number | null = null, place = ''): void => void told.push({ kind: 'entry', rig, entry: kind, value, place, text: '' });
      if (!this.#lastS.has(rig)) {
        told.push({ kind: 'start-shift', rig });
        entry('bump-done');
        told.push({ kind: 'hood-in', rig, name: NAMES[index % NAMES.length] ?? 'Ray' });
      }
      if (this.#isDue(`${rig} blotter`, s, BLOTTER_EVERY_S, true)) entry('blotter');
      if (this.#isDue(`${rig} spot`, s, SPOT_EVERY_S, false)) entry('spot', 18, 'north side');
      this.#lastS.set(rig, s);
      const burstS = isBlasting(rig) ? (this.#blastingS.get(rig) ?? 0) + 1 : 0;
      this.#blastingS.set(rig, burstS);
      if (burstS >= NEEDLE_AFTER_S && !this.#hasNeedle.has(rig)) {
        this.#hasNeedle.add(rig);
        entry('needle', 97);
      }
      return told;
    });
  }

  #isDue(what: string, s: number, everyS: number, atStart: boolean): boolean {
    const last = this.#lastS.get(what);
    if (last === undefined) this.#lastS.set(what, s);
    else if (s - last >= everyS) this.#lastS.set(what, s);
    else return false;
    return last !== undefined || atStart;
  }
}

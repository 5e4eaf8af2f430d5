import { isChattering, nextActivations } from '../alarms/chattering.ts';
import { type Flood, type FloodSettings, NO_FLOOD, floodEndsAtMs, nextFlood } from '../alarms/flood.ts';
import type { AlarmTransition } from './site-effects.ts';
import type { Timers } from './timers.ts';

const FLOOD_TIMER = 'flood -';

export interface SavedAnnunciation {
  readonly flood: Flood;
  readonly activations: readonly (readonly [string, readonly number[]])[];
}

/** How often alarms call: the flood of the whole site and the chatter of each alarm. */
export class Annunciation {
  #flood: Flood;
  readonly #activations: Map<string, readonly number[]>;

  constructor(saved: SavedAnnunciation = { flood: NO_FLOOD, activations: [] }) {
    this.#flood = saved.flood;
    this.#activations = new Map(saved.activations);
  }

  get flood(): Flood {
    return this.#flood;
  }

  isChattering(key: string, atMs: number): boolean {
    const activations = this.#activations.get(key);
    return activations !== undefined && isChattering(activations, atMs);
  }

  /** Counts the calls among these moves; true where there were any. */
  count(moves: readonly AlarmTransition[], settings: FloodSettings, timers: Timers): boolean {
    const was = this.#flood;
    for (const move of moves) {
      if (!isCall(move)) continue;
      this.#activations.set(move.key, nextActivations(this.#activations.get(move.key) ?? [], move.atMs));
      this.#flood = nextFlood(this.#flood, settings, move.atMs, 1);
    }
    if (this.#flood === was) return false;
    timers.set(FLOOD_TIMER, floodEndsAtMs(this.#flood, settings));
    return true;
  }

  /** Lets time pass; true where that ended the flood. */
  pass(settings: FloodSettings, atMs: number, timers: Timers): boolean {
    const was = this.#flood.sinceMs;
    this.#flood = nextFlood(this.#flood, settings, atMs, 0);
    timers.set(FLOOD_TIMER, floodEndsAtMs(this.#flood, settings));
    return was !== null && this.#flood.sinceMs === null;
  }

  save(): SavedAnnunciation {
    return { flood: this.#flood, activations: [...this.#activations] };
  }
}

/** A move that calls people: raised, or announced anew after it was set aside. */
export function isCall(move: Pick<AlarmTransition, 'from' | 'occurrence'>): boolean {
  return move.occurrence.state === 'unacknowledged' && move.from !== 'unacknowledged';
}

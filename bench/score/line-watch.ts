import { type Simulation, createSimulation } from '../../simulator/simulation.ts';
import type { Clip } from './judge-clip.ts';

/** What the gauges along rig A show at one second, psi. */
export interface LineSample {
  /** From going live. */
  readonly s: number;
  readonly compressor: number;
  readonly supply: number;
  readonly pot: number;
  readonly nozzle: number;
  /** Seconds for which the handle has been held, below 0 since it was let go. */
  readonly heldS: number;
}

export type Gauge = 'compressor' | 'supply' | 'pot' | 'nozzle';

/** A burst counts once it has settled; at rest the line is empty behind the pot. */
const SETTLED_S = 20;
const AT_REST_S = 15;
const START_MS = Date.UTC(2026, 8, 14, 12);

/** Rig A's gauges over a clip, as its devices publish them: without gateway and fold, since only pressures are asked for. */
export class LineWatch {
  readonly simulation: Simulation;
  readonly #samples: LineSample[] = [];
  readonly #liveFromMs: number;
  readonly #everyMs: number;
  #compressor = Number.NaN;
  #heldS = 0;

  constructor(clip: Clip, everyMs = 60_000) {
    this.#liveFromMs = START_MS + clip.beforeS * 1000;
    this.#everyMs = everyMs;
    this.simulation = createSimulation({ scenario: clip.scenario, seed: clip.seed, rigs: clip.rigs ?? 2, startAtMs: START_MS, liveFromMs: this.#liveFromMs });
  }

  /** Runs on to a second of the clip. */
  runTo(s: number): void {
    const untilMs = this.#liveFromMs + s * 1000;
    for (let atMs = START_MS; atMs < untilMs; ) {
      atMs = Math.min(untilMs, atMs + this.#everyMs);
      for (const { device, payload, atMs: sentMs } of this.simulation.advanceTo(atMs)) {
        if (device === 'comp-1/outlet') this.#compressor = (JSON.parse(payload) as { pressure: number }).pressure;
        if (device === 'rig-a/line') this.#take(JSON.parse(payload) as LineMessage, (sentMs - this.#liveFromMs) / 1000);
      }
    }
  }

  #take({ pot: { inlet, vessel }, nozzle, handle }: LineMessage, s: number): void {
    this.#heldS = handle === 1 ? Math.max(0, this.#heldS) + 1 : Math.min(0, this.#heldS) - 1;
    this.#samples.push({ s, compressor: this.#compressor, supply: inlet, pot: vessel, nozzle, heldS: this.#heldS });
  }

  /** Medians over settled blasting of a stretch, less what a gauge shows with its line empty; null without a minute of it. */
  medians(fromS: number, untilS: number): Readonly<Record<Gauge, number>> | null {
    const settled = this.#samples.filter(({ s, heldS }) => s >= fromS && s < untilS && heldS > SETTLED_S);
    if (settled.length < 60) return null;
    const of = (gauge: Gauge): number => median(settled.map((sample) => sample[gauge]));
    return { compressor: of('compressor'), supply: of('supply'), pot: of('pot') - this.#zero('pot', fromS, untilS), nozzle: of('nozzle') - this.#zero('nozzle', fromS, untilS) };
  }

  /** Behind the pot's valves an idle line is open to the air, so that its gauges show their own zero. */
  #zero(gauge: 'pot' | 'nozzle', fromS: number, untilS: number): number {
    const atRest = this.#samples.filter(({ s, heldS }) => s >= fromS && s < untilS && heldS < -AT_REST_S).map((sample) => sample[gauge]);
    return atRest.length < 10 ? 0 : median(atRest);
  }
}

interface LineMessage {
  readonly pot: { readonly inlet: number; readonly vessel: number };
  readonly nozzle: number;
  readonly handle: number;
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? (sorted[middle] ?? Number.NaN) : ((sorted[middle - 1] ?? Number.NaN) + (sorted[middle] ?? Number.NaN)) / 2;
}

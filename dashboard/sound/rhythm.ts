import type { Pattern } from './next-sound.ts';

export interface Beat {
  readonly startS: number;
  readonly lengthS: number;
}

export interface Rhythm {
  readonly beats: readonly Beat[];
  readonly periodS: number;
  readonly pitchHz: number;
}

/** Told apart by rhythm, for ears that no longer hear pitch well: five short and a breath, against one long and a long wait. */
export const RHYTHMS: Readonly<Record<Pattern, Rhythm>> = {
  air: { beats: [0, 0.2, 0.4, 0.6, 0.8].map((startS) => ({ startS, lengthS: 0.12 })), periodS: 1.4, pitchHz: 980 },
  other: { beats: [{ startS: 0, lengthS: 0.7 }], periodS: 3, pitchHz: 620 },
};

/** Edges without a click. */
const EDGE_S = 0.012;

/** One period as samples from -1 to 1, to be played round and round: a timer of a hidden tab would stumble. */
export function renderRhythm({ beats, periodS, pitchHz }: Rhythm, sampleRate: number): Float32Array<ArrayBuffer> {
  const samples = new Float32Array(Math.round(periodS * sampleRate));
  for (const { startS, lengthS } of beats) {
    const first = Math.round(startS * sampleRate);
    const count = Math.round(lengthS * sampleRate);
    for (let i = 0; i < count; i++) {
      const atS = i / sampleRate;
      const edge = Math.min(1, atS / EDGE_S, (lengthS - atS) / EDGE_S);
      const turn = 2 * Math.PI * pitchHz * atS;
      samples[first + i] = Math.max(0, edge) * 0.55 * (Math.sin(turn) + 0.35 * Math.sin(2 * turn) + 0.15 * Math.sin(3 * turn));
    }
  }
  return samples;
}

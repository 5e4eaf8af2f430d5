import type { TraceSeries } from '../../domain/wire/trace.ts';
import { BAD, LATE, QUALITY_BITS, type Samples } from './blocks/sample-block.ts';

export interface Window {
  readonly fromMs: number;
  readonly toMs: number;
  /** Pixels to fill. */
  readonly width: number;
  /** Silence longer than this is a gap. */
  readonly gapMs: number;
}

type Columns = Pick<TraceSeries, 'atMs' | 'min' | 'max' | 'late'>;

/**
 * The lowest and highest of each pixel, so that a single sample is seen at any zoom. One pass over samples in order of time.
 * A null pair marks a gap: silence, or values too bad to draw. A pixel with anything late in it is marked late.
 */
export class Downsampler {
  readonly #window: Window;
  readonly #pixelMs: number;
  readonly #atMs: number[] = [];
  readonly #min: (number | null)[] = [];
  readonly #max: (number | null)[] = [];
  readonly #late: boolean[] = [];
  #previousMs: number | null = null;
  /** Where the pixel that is being filled ends; a sample before that only moves its extremes. */
  #pixelEndMs = Number.NEGATIVE_INFINITY;

  constructor(window: Window) {
    this.#window = window;
    this.#pixelMs = Math.max(1, (window.toMs - window.fromMs) / window.width);
  }

  add({ atMs, value, mark }: Samples): void {
    const { gapMs } = this.#window;
    const count = atMs.length;
    for (let i = 0; i < count; i += 1) {
      const at = atMs[i] ?? 0;
      const one = value[i] ?? Number.NaN;
      if (Number.isNaN(one) || ((mark[i] ?? 0) & QUALITY_BITS) === BAD) {
        this.#gap(at);
        continue;
      }
      if (this.#previousMs !== null && at - this.#previousMs > gapMs) this.#gap(this.#previousMs + 1);
      if (at >= this.#pixelEndMs) this.#begin(at, one);
      // As many as belong to this pixel, without a look at anything else.
      const last = this.#atMs.length - 1;
      let low = this.#min[last] ?? one;
      let high = this.#max[last] ?? one;
      let bits = 0;
      let previous = at;
      const end = this.#pixelEndMs;
      for (; i < count; i += 1) {
        const next = atMs[i] ?? 0;
        const here = value[i] ?? Number.NaN;
        const its = mark[i] ?? 0;
        // A NaN is neither above nor below, and must end the run.
        if ((next >= end && next > (this.#atMs[last] ?? 0)) || next - previous > gapMs || (its & QUALITY_BITS) === BAD || here !== here) break;
        if (here < low) low = here;
        if (here > high) high = here;
        bits |= its;
        previous = next;
      }
      i -= 1;
      this.#previousMs = previous;
      this.#min[last] = low;
      this.#max[last] = high;
      if ((bits & LATE) !== 0) this.#late[last] = true;
    }
  }

  drawn(): Columns {
    return { atMs: this.#atMs, min: this.#min, max: this.#max, late: this.#late };
  }

  #gap(at: number): void {
    const last = this.#atMs.at(-1);
    if (last === undefined || this.#min.at(-1) === null) return;
    this.#push(Math.max(last + 1, at), null);
    this.#pixelEndMs = Number.NEGATIVE_INFINITY;
  }

  #begin(at: number, value: number): void {
    const { fromMs } = this.#window;
    const last = this.#atMs.at(-1);
    this.#pixelEndMs = fromMs + (Math.floor((at - fromMs) / this.#pixelMs) + 1) * this.#pixelMs;
    if (last !== undefined && at <= last && this.#min.at(-1) !== null) return;
    this.#push(Math.max(at, (last ?? -1) + 1), value);
  }

  #push(at: number, value: number | null): void {
    this.#atMs.push(at);
    this.#min.push(value);
    this.#max.push(value);
    this.#late.push(false);
  }
}

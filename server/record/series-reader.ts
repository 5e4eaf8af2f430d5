import { findPointKind } from '../../domain/points/catalogue.ts';
import type { Reading } from '../../domain/points/reading.ts';
import { decodeOrigins, decodeSamples, LATE, qualityOf, type Samples } from './blocks/sample-block.ts';
import { HOUR_MS, type ReadTables } from './read-tables.ts';
import type { RecordedRow } from './store.ts';

type Logged = Reading & { readonly late: boolean; readonly sequence: number };

/** Reads one point's samples in order of time, packed or not, in pieces of about an hour. */
export class SeriesReader {
  readonly #tables: ReadTables;

  constructor(tables: ReadTables) {
    this.#tables = tables;
  }

  /** Samples from `fromMs` to `toMs`, both included. Pieces follow one another; none is empty. */
  async *read(site: string, owner: string, point: string, fromMs: number, toMs: number): AsyncGenerator<Samples> {
    const { blocks, rows } = await this.#tables.series({ site, owner, point, fromMs, toMs }, findPointKind(point)?.origin === 'computed');
    const packed = blocks.map(({ bytes, ...rest }): Part => ({ ...rest, load: () => decodeSamples(bytes) }));
    const parts = [...packed, ...byHour(rows)].sort((a, b) => a.fromMs - b.fromMs);
    for (let next = 0; next < parts.length; ) {
      const group: Part[] = [];
      let last = Number.NEGATIVE_INFINITY;
      do {
        const part = parts[next] as Part;
        group.push(part);
        last = Math.max(last, part.toMs);
        next += 1;
      } while ((parts[next]?.fromMs ?? Number.POSITIVE_INFINITY) <= last);
      const piece = within(inOrder(group.sort((a, b) => a.pack - b.pack).map(({ load }) => load())), fromMs, toMs);
      if (piece.atMs.length > 0) yield piece;
    }
  }

  /** Readings of a measured point with their quality and reason, from `fromMs` on and before `toMs`. */
  async readings(site: string, owner: string, point: string, fromMs: number, toMs: number): Promise<Reading[]> {
    return (await this.#logged(site, owner, point, fromMs, toMs)).map(({ late: _late, sequence: _sequence, ...reading }) => reading);
  }

  /** All that is kept of each sample from `fromMs` to `toMs`, both included: of a computed value its reason is not. */
  async *rows(site: string, owner: string, point: string, fromMs: number, toMs: number): AsyncGenerator<RecordedRow> {
    if (findPointKind(point)?.origin !== 'computed') {
      for (const { observedAtMs, receivedAtMs, value, quality, reason, late, sequence } of await this.#logged(site, owner, point, fromMs, toMs + 1)) yield { atMs: observedAtMs, receivedAtMs, value, quality, reason, late, sequence };
      return;
    }
    for await (const { atMs, value, mark } of this.read(site, owner, point, fromMs, toMs)) {
      for (let i = 0; i < atMs.length; i += 1) {
        const one = value[i] ?? Number.NaN;
        yield { atMs: atMs[i] ?? 0, receivedAtMs: null, value: Number.isNaN(one) ? null : one, quality: qualityOf(mark[i] ?? 0), reason: null, late: false, sequence: null };
      }
    }
  }

  async #logged(site: string, owner: string, point: string, fromMs: number, toMs: number): Promise<Logged[]> {
    const { blocks, rows } = await this.#tables.logged({ site, owner, point, fromMs, toMs });
    const found: { id: number; reading: Logged }[] = [];
    for (const bytes of blocks) {
      const samples = decodeSamples(bytes);
      const { id, receivedMs, reason, sequence } = decodeOrigins(bytes, samples);
      samples.atMs.forEach((observedAtMs, i) => {
        if (observedAtMs < fromMs || observedAtMs >= toMs) return;
        const value = samples.value[i] ?? Number.NaN;
        const mark = samples.mark[i] ?? 0;
        found.push({ id: id[i] ?? 0, reading: { owner, point, observedAtMs, receivedAtMs: receivedMs[i] ?? 0, value: Number.isNaN(value) ? null : value, quality: qualityOf(mark), reason: reason[i] ?? null, late: (mark & LATE) !== 0, sequence: sequence[i] ?? 0 } });
      });
    }
    for (const { id, observed_ms: observedAtMs, received_ms: receivedAtMs, value, quality, reason, late, sequence } of rows) found.push({ id, reading: { owner, point, observedAtMs, receivedAtMs, value, quality, reason, late: late === 1, sequence } });
    return found.sort((a, b) => a.reading.observedAtMs - b.reading.observedAtMs || a.id - b.id).map(({ reading }) => reading);
  }
}

/** A stretch of samples, not yet decoded. What was packed earlier came earlier; rows came last. */
interface Part {
  readonly pack: number;
  readonly fromMs: number;
  readonly toMs: number;
  readonly load: () => Samples;
}

/** Rows by the hour, so that a lone late one does not join all that lies between. */
function byHour(rows: Samples): Part[] {
  const parts: Part[] = [];
  for (let first = 0; first < rows.atMs.length; ) {
    const fromMs = rows.atMs[first] ?? 0;
    const end = firstAtOrAfter(rows.atMs, (Math.floor(fromMs / HOUR_MS) + 1) * HOUR_MS);
    const [start, toMs] = [first, rows.atMs[end - 1] ?? fromMs];
    parts.push({ pack: Number.MAX_SAFE_INTEGER, fromMs, toMs, load: () => cut(rows, start, end) });
    first = end;
  }
  return parts;
}

/** Pieces in the order in which they came, as one in order of time; of equal times the one that came first stays first. */
function inOrder(pieces: readonly Samples[]): Samples {
  const [only] = pieces;
  if (only && pieces.length === 1) return only;
  const atMs = pieces.flatMap((piece) => [...piece.atMs]);
  const value = pieces.flatMap((piece) => [...piece.value]);
  const mark = pieces.flatMap((piece) => [...piece.mark]);
  const order = atMs.map((_, i) => i).sort((a, b) => (atMs[a] ?? 0) - (atMs[b] ?? 0) || a - b);
  return {
    atMs: Float64Array.from(order, (i) => atMs[i] ?? 0),
    value: Float64Array.from(order, (i) => value[i] ?? Number.NaN),
    mark: Uint8Array.from(order, (i) => mark[i] ?? 0),
  };
}

function within(samples: Samples, fromMs: number, toMs: number): Samples {
  const { atMs } = samples;
  if ((atMs[0] ?? fromMs) >= fromMs && (atMs.at(-1) ?? toMs) <= toMs) return samples;
  const first = firstAtOrAfter(atMs, fromMs);
  const end = firstAtOrAfter(atMs, toMs + 1);
  return cut(samples, first, end);
}

function cut({ atMs, value, mark }: Samples, first: number, end: number): Samples {
  return { atMs: atMs.subarray(first, end), value: value.subarray(first, end), mark: mark.subarray(first, end) };
}

function firstAtOrAfter(atMs: Float64Array, ms: number): number {
  let [low, high] = [0, atMs.length];
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((atMs[middle] ?? 0) < ms) low = middle + 1;
    else high = middle;
  }
  return low;
}

import { deflateRawSync, inflateRawSync } from 'node:zlib';
import { ByteReader, ByteWriter, checkedBytes, withChecksum } from './bytes.ts';
import { readInts, writeInts } from './int-column.ts';

/** A batch or a tick of the log without its readings: those lie in the blocks of their points. */
export interface PackedEntry {
  readonly seq: number;
  readonly atMs: number;
  /** Null for a tick. */
  readonly batch: { readonly first: number; readonly count: number; readonly origin: string } | null;
}

const VERSION = 1;
const TICK = 0;

/** Packs batches and ticks of a log, in order. The bytes: docs/format.md. */
export function encodeLog(entries: readonly PackedEntry[]): Buffer {
  const writer = new ByteWriter();
  const origins = [...new Set(entries.flatMap(({ batch }) => (batch ? [batch.origin] : [])))];
  writer.varint(origins.length);
  for (const origin of origins) writer.text(origin);
  let next = 0;
  const skipped = entries.map(({ batch }) => {
    if (!batch) return 0;
    const gap = batch.first - next;
    next = batch.first + batch.count;
    return gap;
  });
  writeInts(writer, Float64Array.from(entries, ({ seq }) => seq));
  writeInts(writer, Float64Array.from(entries, ({ atMs }) => atMs));
  writeInts(writer, Float64Array.from(entries, ({ batch }) => (batch ? 1 + origins.indexOf(batch.origin) : TICK)));
  writeInts(writer, Float64Array.from(entries, ({ batch }) => batch?.count ?? 0));
  writeInts(writer, Float64Array.from(skipped));
  const block = new ByteWriter();
  block.u8(VERSION);
  block.varint(entries.length);
  block.bytes(deflateRawSync(writer.written(), { level: 9 }));
  return withChecksum(block.written());
}

/** @throws RangeError for a damaged block or one of another version */
export function decodeLog(block: Buffer): PackedEntry[] {
  const outer = new ByteReader(checkedBytes(block));
  const version = outer.u8();
  if (version !== VERSION) throw new RangeError(`a block of the log of version ${version}: expected ${VERSION}`);
  const length = outer.varint();
  const reader = new ByteReader(inflateRawSync(outer.bytes.subarray(outer.at)));
  const origins = Array.from({ length: reader.varint() }, () => reader.text());
  const [seq, atMs, kind, count, skipped] = Array.from({ length: 5 }, () => readInts(reader, length));
  let next = 0;
  return Array.from({ length }, (_, i) => {
    const place = { seq: seq?.[i] ?? 0, atMs: atMs?.[i] ?? 0 };
    const from = kind?.[i] ?? TICK;
    if (from === TICK) return { ...place, batch: null };
    const batch = { first: next + (skipped?.[i] ?? 0), count: count?.[i] ?? 0, origin: origins[from - 1] ?? '' };
    next = batch.first + batch.count;
    return { ...place, batch };
  });
}

import type { ByteReader, ByteWriter } from './bytes.ts';

/** How a column of whole numbers is written. */
const STEADY = 0;
const DELTAS = 1;
const OFFSETS = 2;

/**
 * Writes whole numbers below 2^53: a steady course as its start and step alone; otherwise what each differs from the step, or, where
 * that is smaller (noise about a level), how far each lies above the lowest. An empty column is an error.
 */
export function writeInts(writer: ByteWriter, values: Float64Array): void {
  const base = values[0];
  if (base === undefined) throw new RangeError('a column needs a value');
  const step = commonStep(values);
  let low = base;
  let sumOfOffsets = 0;
  let sumOfDeltas = 0;
  for (let i = 1; i < values.length; i += 1) {
    const value = values[i] ?? 0;
    low = Math.min(low, value);
    sumOfDeltas += 2 * Math.abs(value - (values[i - 1] ?? 0) - step);
  }
  for (const value of values) sumOfOffsets += value - low;
  if (sumOfDeltas === 0) {
    writer.u8(STEADY);
    writer.zigzag(base);
    writer.zigzag(step);
  } else if (sumOfDeltas <= sumOfOffsets) {
    writer.u8(DELTAS);
    writer.zigzag(base);
    writer.zigzag(step);
    for (let i = 1; i < values.length; i += 1) writer.zigzag((values[i] ?? 0) - (values[i - 1] ?? 0) - step);
  } else {
    writer.u8(OFFSETS);
    writer.zigzag(low);
    for (const value of values) writer.varint(value - low);
  }
}

/** Reads a column of `count` numbers. @throws RangeError for a form it does not know */
export function readInts(reader: ByteReader, count: number): Float64Array {
  const values = new Float64Array(count);
  const form = reader.u8();
  if (form === OFFSETS) {
    readOffsets(reader, values);
    return values;
  }
  let value = reader.zigzag();
  const step = reader.zigzag();
  values[0] = value;
  if (form === STEADY) {
    for (let i = 1; i < count; i += 1) values[i] = value += step;
  } else if (form === DELTAS) readDeltas(reader, values, value, step);
  else throw new RangeError(`column form ${form}: expected 0 to 2`);
  return values;
}

/** Nearly all numbers take one byte, so that is the way without a call. */
function readDeltas(reader: ByteReader, values: Float64Array, base: number, step: number): void {
  const { bytes } = reader;
  const count = values.length;
  let { at } = reader;
  let value = base;
  for (let i = 1; i < count; i += 1) {
    const byte = bytes[at] ?? 0x80;
    if (byte < 0x80) {
      at += 1;
      value += step + ((byte >>> 1) ^ -(byte & 1));
    } else {
      reader.at = at;
      value += step + reader.zigzag();
      at = reader.at;
    }
    values[i] = value;
  }
  reader.at = at;
}

function readOffsets(reader: ByteReader, values: Float64Array): void {
  const low = reader.zigzag();
  const { bytes } = reader;
  const count = values.length;
  let { at } = reader;
  for (let i = 0; i < count; i += 1) {
    const byte = bytes[at] ?? 0x80;
    if (byte < 0x80) {
      at += 1;
      values[i] = low + byte;
    } else {
      reader.at = at;
      values[i] = low + reader.varint();
      at = reader.at;
    }
  }
  reader.at = at;
}

/** The most frequent difference of neighbours. */
function commonStep(values: Float64Array): number {
  const counts = new Map<number, number>();
  let best = 0;
  let most = 0;
  for (let i = 1; i < values.length; i += 1) {
    const step = (values[i] ?? 0) - (values[i - 1] ?? 0);
    const count = (counts.get(step) ?? 0) + 1;
    counts.set(step, count);
    if (count > most) [best, most] = [step, count];
  }
  return best;
}

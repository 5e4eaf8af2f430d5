import { deflateRawSync, inflateRawSync } from 'node:zlib';
import type { Quality, QualityReason } from '../../../domain/points/reading.ts';
import { ByteReader, ByteWriter, checkedBytes, withChecksum } from './bytes.ts';
import { readInts, writeInts } from './int-column.ts';

/** What is drawn of each sample, in order of time. */
export interface Samples {
  readonly atMs: Float64Array;
  /** In the point's unit; NaN where there is none. */
  readonly value: Float64Array;
  /** Quality, lateness and form of the value, by the bits below. */
  readonly mark: Uint8Array;
}

/** Where each sample came from, beside what is drawn of it. */
export interface Origins {
  readonly receivedMs: Float64Array;
  /** Place among all readings of the record. */
  readonly id: Float64Array;
  readonly sequence: Float64Array;
  readonly reason: readonly (QualityReason | null)[];
}

const QUALITIES: readonly Quality[] = ['good', 'uncertain', 'bad'];
export const QUALITY_BITS = 0b11;
export const BAD = 2;
export const LATE = 0b100;
const NO_VALUE = 0b01000;
const AS_FLOAT = 0b10000;
const FORM_BITS = NO_VALUE | AS_FLOAT;

const VERSION = 1;
/** Steps beyond this are kept as floats: their differences would no longer be exact. */
const MAX_STEPS = 2 ** 50;

export function markOf(quality: Quality, late: boolean): number {
  return QUALITIES.indexOf(quality) | (late ? LATE : 0);
}

export function qualityOf(mark: number): Quality {
  return QUALITIES[mark & QUALITY_BITS] ?? 'bad';
}

/**
 * Packs samples of one point, in order of time. Values on the grid of the resolution become whole numbers; any other is kept as the
 * float it is. Decoding gives back every bit. The bytes: docs/format.md.
 */
export function encodeBlock(samples: Samples, origins: Origins, resolution: number): Buffer {
  const drawn = new ByteWriter();
  writeInts(drawn, samples.atMs);
  writeValues(drawn, samples, resolution);
  const rest = new ByteWriter();
  writeInts(rest, origins.receivedMs.map((ms, i) => ms - (samples.atMs[i] ?? 0)));
  writeInts(rest, origins.id);
  writeInts(rest, origins.sequence.map((sequence, i) => sequence - (origins.id[i] ?? 0)));
  writeReasons(rest, origins.reason);
  const block = new ByteWriter();
  block.u8(VERSION);
  block.varint(samples.atMs.length);
  const packed = deflateRawSync(drawn.written(), { level: 9 });
  block.varint(packed.length);
  block.bytes(packed);
  block.bytes(deflateRawSync(rest.written(), { level: 9 }));
  return withChecksum(block.written());
}

/** What is drawn of a block. @throws RangeError for a damaged block or one of another version */
export function decodeSamples(block: Buffer): Samples {
  const { count, drawn } = open(block);
  const reader = new ByteReader(inflateRawSync(drawn));
  const atMs = readInts(reader, count);
  return { atMs, ...readValues(reader, count) };
}

/** The other half of a block. @throws RangeError as `decodeSamples` */
export function decodeOrigins(block: Buffer, { atMs }: Samples): Origins {
  const { count, rest } = open(block);
  const reader = new ByteReader(inflateRawSync(rest));
  const receivedMs = readInts(reader, count);
  const id = readInts(reader, count);
  const sequence = readInts(reader, count);
  for (let i = 0; i < count; i += 1) {
    receivedMs[i] = (receivedMs[i] ?? 0) + (atMs[i] ?? 0);
    sequence[i] = (sequence[i] ?? 0) + (id[i] ?? 0);
  }
  return { receivedMs, id, sequence, reason: readReasons(reader, count) };
}

function open(block: Buffer): { count: number; drawn: Buffer; rest: Buffer } {
  const reader = new ByteReader(checkedBytes(block));
  const version = reader.u8();
  if (version !== VERSION) throw new RangeError(`a block of version ${version}: expected ${VERSION}`);
  const count = reader.varint();
  const drawn = reader.take(reader.varint());
  return { count, drawn, rest: reader.bytes.subarray(reader.at) };
}

/** The number of steps as a decimal is read: division rounds once, so 964 tenths are 96.4 and nothing else. */
function scaleOf(resolution: number): { perUnit: number; step: number } {
  const perUnit = Math.round(1 / resolution);
  return perUnit * resolution === 1 ? { perUnit, step: 1 } : { perUnit: 1, step: resolution };
}

function writeValues(writer: ByteWriter, { value, mark }: Samples, resolution: number): void {
  const { perUnit, step } = scaleOf(resolution);
  const steps = new Float64Array(value.length);
  const marks = new Uint8Array(mark.length);
  const floats: number[] = [];
  let held = 0;
  for (let i = 0; i < value.length; i += 1) {
    const one = value[i] ?? Number.NaN;
    const whole = Math.round((one * perUnit) / step);
    let form = 0;
    if (Number.isNaN(one)) form = NO_VALUE;
    else if (Math.abs(whole) <= MAX_STEPS && !Object.is(whole, -0) && Object.is((whole * step) / perUnit, one)) held = whole;
    else {
      form = AS_FLOAT;
      floats.push(one);
    }
    steps[i] = held;
    marks[i] = (mark[i] ?? 0) | form;
  }
  writer.f64(perUnit);
  writer.f64(step);
  writeInts(writer, steps);
  writeMarks(writer, marks);
  for (const one of floats) writer.f64(one);
}

function readValues(reader: ByteReader, count: number): { value: Float64Array; mark: Uint8Array } {
  const perUnit = reader.f64();
  const step = reader.f64();
  const value = readInts(reader, count);
  if (step === 1) for (let i = 0; i < count; i += 1) value[i] = (value[i] ?? 0) / perUnit;
  else for (let i = 0; i < count; i += 1) value[i] = ((value[i] ?? 0) * step) / perUnit;
  const mark = new Uint8Array(count);
  const only = readMarks(reader, mark);
  if (only === 0 || (only !== null && (only & FORM_BITS) === 0)) return { value, mark };
  for (let i = 0; i < count; i += 1) {
    const form = (mark[i] ?? 0) & FORM_BITS;
    if (form === NO_VALUE) value[i] = Number.NaN;
    else if (form === AS_FLOAT) value[i] = reader.f64();
    mark[i] = (mark[i] ?? 0) & ~FORM_BITS;
  }
  return { value, mark };
}

function writeMarks(writer: ByteWriter, marks: Uint8Array): void {
  const isOne = marks.every((mark) => mark === marks[0]);
  writer.u8(isOne ? 0 : 1);
  writer.bytes(isOne ? marks.subarray(0, 1) : marks);
}

/** Fills the marks; answers with the one they all have, or null. */
function readMarks(reader: ByteReader, marks: Uint8Array): number | null {
  if (reader.u8() === 0) {
    const only = reader.u8();
    marks.fill(only);
    return only;
  }
  marks.set(reader.take(marks.length));
  return null;
}

/** Reasons as text once, then their numbers: a new reason needs no new version. */
function writeReasons(writer: ByteWriter, reasons: readonly (QualityReason | null)[]): void {
  const known = [...new Set(reasons)].map((reason) => reason ?? '');
  writer.varint(known.length);
  for (const text of known) writer.text(text);
  if (known.length > 1) writeInts(writer, Float64Array.from(reasons, (reason) => known.indexOf(reason ?? '')));
}

function readReasons(reader: ByteReader, count: number): (QualityReason | null)[] {
  const known = Array.from({ length: reader.varint() }, () => reader.text()).map((text) => (text === '' ? null : (text as QualityReason)));
  if (known.length <= 1) return Array.from({ length: count }, () => known[0] ?? null);
  return Array.from(readInts(reader, count), (index) => known[index] ?? null);
}

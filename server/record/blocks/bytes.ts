import { crc32 } from 'node:zlib';

/** Writes numbers one after another; docs/format.md has the forms. */
export class ByteWriter {
  #bytes = Buffer.alloc(1024);
  #length = 0;

  u8(value: number): void {
    this.#room(1);
    this.#bytes[this.#length++] = value;
  }

  f64(value: number): void {
    this.#room(8);
    this.#length = this.#bytes.writeDoubleLE(value, this.#length);
  }

  /** A whole number from 0 below 2^54: seven bits a byte, lowest first, the top bit set where more follow (LEB128). */
  varint(value: number): void {
    this.#room(8);
    let rest = value;
    while (rest >= 0x80) {
      this.#bytes[this.#length++] = (rest % 0x80) + 0x80;
      rest = Math.floor(rest / 0x80);
    }
    this.#bytes[this.#length++] = rest;
  }

  /** A whole number of either sign: 0, -1, 1, -2 … as 0, 1, 2, 3 … (zigzag). */
  zigzag(value: number): void {
    this.varint(value < 0 ? -2 * value - 1 : 2 * value);
  }

  bytes(bytes: Uint8Array): void {
    this.#room(bytes.length);
    this.#bytes.set(bytes, this.#length);
    this.#length += bytes.length;
  }

  text(text: string): void {
    const bytes = Buffer.from(text, 'utf8');
    this.varint(bytes.length);
    this.bytes(bytes);
  }

  written(): Buffer {
    return this.#bytes.subarray(0, this.#length);
  }

  #room(more: number): void {
    if (this.#length + more <= this.#bytes.length) return;
    const larger = Buffer.alloc(Math.max(2 * this.#bytes.length, this.#length + more));
    this.#bytes.copy(larger, 0, 0, this.#length);
    this.#bytes = larger;
  }
}

/** Reads what a `ByteWriter` wrote. @throws RangeError past the end */
export class ByteReader {
  readonly bytes: Buffer;
  at = 0;

  constructor(bytes: Buffer) {
    this.bytes = bytes;
  }

  u8(): number {
    const value = this.bytes[this.at++];
    if (value === undefined) throw new RangeError('a block ends too early');
    return value;
  }

  f64(): number {
    const value = this.bytes.readDoubleLE(this.at);
    this.at += 8;
    return value;
  }

  varint(): number {
    let value = 0;
    for (let scale = 1; ; scale *= 0x80) {
      const byte = this.u8();
      value += (byte & 0x7f) * scale;
      if (byte < 0x80) return value;
    }
  }

  zigzag(): number {
    const coded = this.varint();
    return coded % 2 === 0 ? coded / 2 : -(coded + 1) / 2;
  }

  take(length: number): Buffer {
    const taken = this.bytes.subarray(this.at, this.at + length);
    if (taken.length !== length) throw new RangeError('a block ends too early');
    this.at += length;
    return taken;
  }

  text(): string {
    return this.take(this.varint()).toString('utf8');
  }
}

/** The same bytes with their CRC-32 behind them: half a block must never be taken for a whole one. */
export function withChecksum(bytes: Buffer): Buffer {
  const whole = Buffer.alloc(bytes.length + 4);
  bytes.copy(whole);
  whole.writeUInt32LE(crc32(bytes), bytes.length);
  return whole;
}

/** @throws RangeError where bytes and CRC-32 do not agree */
export function checkedBytes(whole: Buffer): Buffer {
  const bytes = whole.subarray(0, Math.max(0, whole.length - 4));
  if (whole.length < 4 || crc32(bytes) !== whole.readUInt32LE(bytes.length)) throw new RangeError('a block is damaged: its checksum does not fit');
  return bytes;
}

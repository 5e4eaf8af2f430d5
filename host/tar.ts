import { createReadStream, createWriteStream, statSync } from 'node:fs';
import { once } from 'node:events';
import { pipeline } from 'node:stream/promises';
import { createGunzip, createGzip } from 'node:zlib';

const BLOCK = 512;
/** Eleven octal digits. */
const MAX_BYTES = 8 ** 11 - 1;

export interface TarEntry {
  readonly name: string;
  /** Where its bytes lie. */
  readonly file: string;
}

/** Writes files into a gzipped ustar archive (POSIX.1-1988), which any `tar` opens. @throws RangeError for a file of 8 GiB or more, or a name over 100 bytes */
export async function writeTarGz(archive: string, entries: readonly TarEntry[]): Promise<void> {
  await pipeline(tarBytes(entries), createGzip({ level: 6 }), createWriteStream(archive, { mode: 0o600, flags: 'wx' }));
}

async function* tarBytes(entries: readonly TarEntry[]): AsyncGenerator<Buffer> {
  for (const { name, file } of entries) {
    const { size } = statSync(file);
    yield header(name, size);
    let sent = 0;
    for await (const chunk of createReadStream(file) as AsyncIterable<Buffer>) {
      sent += chunk.length;
      yield chunk;
    }
    if (sent !== size) throw new Error(`${file} changed while it was read`);
    yield Buffer.alloc((BLOCK - (size % BLOCK)) % BLOCK);
  }
  yield Buffer.alloc(2 * BLOCK);
}

function header(name: string, size: number): Buffer {
  if (Buffer.byteLength(name) > 100) throw new RangeError(`${name}: the name is longer than 100 bytes`);
  if (size > MAX_BYTES) throw new RangeError(`${name}: ${size} bytes, expected at most ${MAX_BYTES}`);
  const block = Buffer.alloc(BLOCK);
  const octal = (value: number, at: number, width: number): void => void block.write(value.toString(8).padStart(width - 1, '0'), at, 'latin1');
  block.write(name, 0, 'utf8');
  octal(0o600, 100, 8);
  octal(0, 108, 8);
  octal(0, 116, 8);
  octal(size, 124, 12);
  octal(0, 136, 12);
  block.write('        0', 148, 'latin1');
  block.write('ustar\0', 257, 'latin1');
  block.write('00', 263, 'latin1');
  const sum = block.reduce((total, byte) => total + byte, 0);
  block.write(`${sum.toString(8).padStart(6, '0')}\0 `, 148, 'latin1');
  return block;
}

/** Unpacks an archive of `writeTarGz`; `fileFor` says where an entry goes. @throws RangeError where it is none, is damaged or ends too early */
export async function readTarGz(archive: string, fileFor: (name: string) => string): Promise<void> {
  const source = createReadStream(archive);
  const unzipped = createGunzip();
  const feeding = pipeline(source, unzipped);
  feeding.catch(() => undefined);
  const reader = new ChunkReader(unzipped);
  try {
    for (;;) {
      const block = await reader.take(BLOCK);
      if (block.every((byte) => byte === 0)) break;
      const { name, size } = readHeader(block);
      const out = createWriteStream(fileFor(name), { mode: 0o600, flags: 'wx' });
      await once(out, 'open');
      for (let rest = size; rest > 0; ) {
        const part = await reader.some(rest);
        rest -= part.length;
        if (!out.write(part)) await once(out, 'drain');
      }
      out.end();
      await once(out, 'close');
      await reader.take((BLOCK - (size % BLOCK)) % BLOCK);
    }
  } finally {
    source.destroy();
  }
}

function readHeader(block: Buffer): { name: string; size: number } {
  const text = (at: number, width: number): string => (block.toString('utf8', at, at + width).split('\0')[0] ?? '').trim();
  const sum = block.reduce((total, byte, at) => total + (at >= 148 && at < 156 ? 32 : byte), 0);
  const size = Number.parseInt(text(124, 12), 8);
  if (Number.parseInt(text(148, 8), 8) !== sum || !Number.isSafeInteger(size)) throw new RangeError('the archive is damaged: a header does not fit its checksum');
  return { name: text(0, 100), size };
}

/** Takes bytes off a stream in the portions that are asked for. */
class ChunkReader {
  readonly #chunks: AsyncIterator<Buffer>;
  #held = Buffer.alloc(0);

  constructor(stream: AsyncIterable<Buffer>) {
    this.#chunks = stream[Symbol.asyncIterator]();
  }

  /** At least one byte, at most `most`. */
  async some(most: number): Promise<Buffer> {
    if (this.#held.length === 0) {
      const next = await this.#chunks.next();
      if (next.done) throw new RangeError('the archive ends too early');
      this.#held = next.value as Buffer<ArrayBuffer>;
    }
    const part = this.#held.subarray(0, most);
    this.#held = this.#held.subarray(part.length);
    return part;
  }

  async take(length: number): Promise<Buffer> {
    const parts: Buffer[] = [];
    for (let rest = length; rest > 0; rest -= parts.at(-1)?.length ?? 0) parts.push(await this.some(rest));
    return Buffer.concat(parts);
  }
}

import { crc32 } from 'node:zlib';
import { type PackedFile, readZip, unpack } from './zip.ts';

/** The files of a bundle of our own making, as they lie in it. */
export function openSealed(bundle: Uint8Array): PackedFile[] {
  return readZip(asBuffer(bundle)).map((entry) => {
    const plain = unpack(entry);
    return { ...entry, size: plain.length, crc: crc32(plain) };
  });
}

/** One file of it. @throws RangeError where it has none of this name */
export function fileOf(bundle: Uint8Array, name: string): Uint8Array {
  const entry = readZip(asBuffer(bundle)).find((one) => one.name === name);
  if (!entry) throw new RangeError(`the bundle has no ${name}`);
  return unpack(entry);
}

function asBuffer(bytes: Uint8Array): Buffer {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length);
}

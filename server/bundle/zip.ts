import { crc32, deflateRawSync, inflateRawSync } from 'node:zlib';

/**
 * The container of a bundle: ZIP in one canonical form, so that `verify` can build it again and compare byte for byte. No time, no
 * comment, no extra field, no data descriptor; entries in the order given; deflated, or stored where that is asked. Decision 0013
 * says why this is not left to a library: its deflate may compress otherwise in its next version.
 */
export interface PackedFile {
  readonly name: string;
  /** Bytes as they lie in the archive. */
  readonly packed: Uint8Array;
  readonly isDeflated: boolean;
  readonly size: number;
  readonly crc: number;
}

const LOCAL = 0x04034b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
/** 1980-01-01 00:00, the earliest a ZIP can say. */
const DATE = 0x0021;
const VERSION = 20;
/** Names are UTF-8. */
const FLAGS = 0x0800;
const LOCAL_BYTES = 30;
const CENTRAL_BYTES = 46;
const END_BYTES = 22;
const MAX_BYTES = 0xffff_ffff;

export function packFile(name: string, bytes: Uint8Array, isDeflated: boolean): PackedFile {
  return { name, packed: isDeflated ? deflateRawSync(bytes) : bytes, isDeflated, size: bytes.length, crc: crc32(bytes) };
}

/** A stretch of the archive and what it is of, to name what was changed. */
export interface Region {
  readonly from: number;
  readonly what: string;
}

/** @throws RangeError for more than 4 GiB: the form has no ZIP64. */
export function zipOf(files: readonly PackedFile[]): { readonly bytes: Buffer; readonly regions: readonly Region[] } {
  const parts: Buffer[] = [];
  const regions: Region[] = [];
  let at = 0;
  const add = (part: Uint8Array, what: string): void => {
    regions.push({ from: at, what });
    parts.push(Buffer.from(part.buffer, part.byteOffset, part.length));
    at += part.length;
  };
  const offsets = files.map((file) => {
    const offset = at;
    add(localHeader(file), `header of ${file.name}`);
    add(file.packed, file.name);
    return offset;
  });
  const directoryAt = at;
  files.forEach((file, index) => add(centralHeader(file, offsets[index] ?? 0), `directory entry of ${file.name}`));
  const end = Buffer.alloc(END_BYTES);
  end.writeUInt32LE(END, 0);
  end.writeUInt16LE(files.length, 8);
  end.writeUInt16LE(files.length, 10);
  if (at > MAX_BYTES) throw new RangeError('the bundle would be larger than 4 GiB');
  end.writeUInt32LE(at - directoryAt, 12);
  end.writeUInt32LE(directoryAt, 16);
  add(end, 'end of the archive');
  regions.push({ from: at, what: 'bytes after the archive' });
  return { bytes: Buffer.concat(parts), regions };
}

function localHeader(file: PackedFile): Buffer {
  const name = Buffer.from(file.name, 'utf8');
  const header = Buffer.alloc(LOCAL_BYTES + name.length);
  header.writeUInt32LE(LOCAL, 0);
  writeCommon(header, 4, file, name.length);
  name.copy(header, LOCAL_BYTES);
  return header;
}

function centralHeader(file: PackedFile, offset: number): Buffer {
  const name = Buffer.from(file.name, 'utf8');
  const header = Buffer.alloc(CENTRAL_BYTES + name.length);
  header.writeUInt32LE(CENTRAL, 0);
  header.writeUInt16LE(VERSION, 4);
  writeCommon(header, 6, file, name.length);
  header.writeUInt32LE(offset, 42);
  name.copy(header, CENTRAL_BYTES);
  return header;
}

/** The fields that both headers have in the same order. */
function writeCommon(header: Buffer, at: number, { packed, isDeflated, size, crc }: PackedFile, nameLength: number): void {
  header.writeUInt16LE(VERSION, at);
  header.writeUInt16LE(FLAGS, at + 2);
  header.writeUInt16LE(isDeflated ? 8 : 0, at + 4);
  header.writeUInt16LE(0, at + 6);
  header.writeUInt16LE(DATE, at + 8);
  header.writeUInt32LE(crc, at + 10);
  header.writeUInt32LE(packed.length, at + 14);
  header.writeUInt32LE(size, at + 18);
  header.writeUInt16LE(nameLength, at + 22);
}

/** One entry as its directory tells it; nothing in it is believed before it is compared. */
export interface FoundEntry {
  readonly name: string;
  readonly packed: Buffer;
  readonly isDeflated: boolean;
}

/** Entries of an archive by its directory. @throws RangeError where there is none that can be followed. */
export function readZip(bytes: Buffer): FoundEntry[] {
  const endAt = bytes.length - END_BYTES;
  if (endAt < 0 || bytes.readUInt32LE(endAt) !== END) return readSequentially(bytes);
  const found: FoundEntry[] = [];
  const count = bytes.readUInt16LE(endAt + 10);
  let at = bytes.readUInt32LE(endAt + 16);
  for (let index = 0; index < count; index += 1) {
    if (at + CENTRAL_BYTES > bytes.length || bytes.readUInt32LE(at) !== CENTRAL) return readSequentially(bytes);
    const nameLength = bytes.readUInt16LE(at + 28);
    const offset = bytes.readUInt32LE(at + 42);
    const size = bytes.readUInt32LE(at + 20);
    const dataAt = offset + LOCAL_BYTES + nameLength;
    if (dataAt + size > bytes.length) return readSequentially(bytes);
    found.push({ name: bytes.toString('utf8', at + CENTRAL_BYTES, at + CENTRAL_BYTES + nameLength), packed: bytes.subarray(dataAt, dataAt + size), isDeflated: bytes.readUInt16LE(at + 10) === 8 });
    at += CENTRAL_BYTES + nameLength;
  }
  return found;
}

/** Where the directory is damaged: entry after entry from the front, as far as they can be followed. */
function readSequentially(bytes: Buffer): FoundEntry[] {
  const found: FoundEntry[] = [];
  for (let at = 0; at + LOCAL_BYTES <= bytes.length && bytes.readUInt32LE(at) === LOCAL; ) {
    const size = bytes.readUInt32LE(at + 18);
    const nameLength = bytes.readUInt16LE(at + 26);
    const dataAt = at + LOCAL_BYTES + nameLength;
    if (dataAt + size > bytes.length) break;
    found.push({ name: bytes.toString('utf8', at + LOCAL_BYTES, dataAt), packed: bytes.subarray(dataAt, dataAt + size), isDeflated: bytes.readUInt16LE(at + 8) === 8 });
    at = dataAt + size;
  }
  if (found.length === 0) throw new RangeError('this is no bundle: found no ZIP archive in it');
  return found;
}

/** No file of a bundle unpacks to more than this: a bomb is refused, not unpacked. */
const MOST_BYTES = 1024 * 1024 * 1024;

/** @throws RangeError for bytes that can't be inflated, or too many of them. */
export function unpack(entry: FoundEntry): Buffer {
  if (!entry.isDeflated) return entry.packed;
  try {
    return inflateRawSync(entry.packed, { maxOutputLength: MOST_BYTES });
  } catch (error) {
    throw new RangeError(`can’t be unpacked: ${(error as Error).message}`);
  }
}

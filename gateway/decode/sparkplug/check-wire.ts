/** Which fields of which message hold a message, by field number (Sparkplug 3.0 §6.4, the published schema). */
const NESTED = {
  payload: { 2: 'metric' },
  metric: { 8: 'leaf', 9: 'properties', 17: 'dataset', 18: 'template', 19: 'leaf' },
  properties: { 2: 'property' },
  property: { 9: 'properties', 10: 'propertiesList', 11: 'leaf' },
  propertiesList: { 1: 'properties' },
  dataset: { 4: 'row' },
  row: { 1: 'cell' },
  cell: { 7: 'leaf' },
  template: { 2: 'metric', 3: 'parameter' },
  parameter: { 9: 'leaf' },
  leaf: {},
} as const satisfies Record<string, Readonly<Record<number, string>>>;
type MessageKind = keyof typeof NESTED;

/** Deeper than any sensor's payload; a decoder that recurses is not asked to find out. */
const MAX_DEPTH = 12;
/** An alias and a value take eight bytes of the 64 KiB a message may have: more parts than this are empty ones, that cost time and say nothing. */
const MAX_PARTS = 8_192;

interface Open {
  readonly kind: MessageKind;
  readonly end: number;
}

/** Walks the wire format before it is decoded. Returns what is wrong with it, or null: every field whole, no groups, not nested too deep, not of too many parts. */
export function checkWire(bytes: Uint8Array): 'too-deep' | 'too-many' | 'broken' | null {
  const open: Open[] = [{ kind: 'payload', end: bytes.length }];
  let at = 0;
  let parts = 0;
  const varint = (): number => {
    let value = 0;
    for (let shift = 0; shift < 70; shift += 7) {
      const byte = bytes[at++];
      if (byte === undefined) return -1;
      if (shift < 49) value += (byte & 0x7f) * 2 ** shift;
      if (byte < 0x80) return value;
    }
    return -1;
  };
  for (let here = open.at(-1); here; here = open.at(-1)) {
    if (at === here.end) {
      open.pop();
      continue;
    }
    const tag = varint();
    const wireType = tag % 8;
    const field = Math.floor(tag / 8);
    if (tag < 0 || field === 0) return 'broken';
    if (wireType === 0) {
      if (varint() < 0) return 'broken';
    } else if (wireType === 1) at += 8;
    else if (wireType === 5) at += 4;
    else if (wireType === 2) {
      const length = varint();
      if (length < 0 || at + length > here.end) return 'broken';
      const inner = (NESTED[here.kind] as Readonly<Record<number, MessageKind>>)[field];
      if (inner) {
        if (open.length >= MAX_DEPTH) return 'too-deep';
        if (++parts > MAX_PARTS) return 'too-many';
        open.push({ kind: inner, end: at + length });
      } else at += length;
    } else return 'broken';
    if (at > here.end) return 'broken';
  }
  return null;
}

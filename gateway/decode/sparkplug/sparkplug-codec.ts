import codec from 'sparkplug-payload/lib/sparkplugPayloadProto.js';
import { type Refused, refuse } from '../decoded.ts';
import { checkWire } from './check-wire.ts';

/** What of a Sparkplug B payload matters here. */
export interface SparkplugPayload {
  readonly atMs: number | null;
  readonly seq: number | null;
  readonly metrics: readonly SparkplugMetric[];
}

export interface SparkplugMetric {
  readonly name: string | null;
  /** 64 bits, so as text. */
  readonly alias: string | null;
  readonly atMs: number | null;
  /** Index of the data type; null in data messages, which may leave it to the birth. */
  readonly datatype: number | null;
  readonly isHistorical: boolean;
  readonly isNull: boolean;
  /** The property `Quality`: 192 is good. */
  readonly quality: number | null;
  /** How the value stands on the wire; its sign is known only with the data type. */
  readonly raw: number | boolean | string | bigint | undefined;
}

type Wire = codec.org.eclipse.tahu.protobuf.Payload;
type WireMetric = codec.org.eclipse.tahu.protobuf.Payload.IMetric;
const Payload = codec.org.eclipse.tahu.protobuf.Payload;
const BOOLEAN = 11;

/**
 * Decodes the bytes with the library's codec. Its reading of metrics is not used: without a data type, which data messages leave out
 * (Sparkplug 3.0 §6.4.15), it answers null, it makes large unsigned numbers negative, and puts names from the wire into plain objects.
 */
export function readSparkplug(bytes: Uint8Array): SparkplugPayload | Refused {
  const wrong = checkWire(bytes);
  if (wrong === 'too-deep') return refuse('too-deep', 'nested deeper than any sensor’s payload');
  if (wrong === 'too-many') return refuse('too-large', `found ${bytes.byteLength} bytes of more parts than hold anything, expected at most 8,192 metrics and their properties`);
  if (wrong) return refuse('not-sparkplug', `found ${bytes.byteLength} bytes that are not a Sparkplug B payload`);
  try {
    const wire: Wire = Payload.decode(bytes);
    return { atMs: numberIn(wire, 'timestamp'), seq: numberIn(wire, 'seq'), metrics: wire.metrics.map(toMetric) };
  } catch (error) {
    return refuse('not-sparkplug', `found ${bytes.byteLength} bytes that are not a Sparkplug B payload: ${(error as Error).message}`);
  }
}

/** The command with which a host asks an edge node for its birth (Sparkplug 3.0 §6.4.20 and §5.10). */
export function writeRebirth(nowMs: number): Uint8Array {
  return Payload.encode({ timestamp: nowMs, metrics: [{ name: 'Node Control/Rebirth', timestamp: nowMs, datatype: BOOLEAN, booleanValue: true }] }).finish();
}

function toMetric(wire: WireMetric): SparkplugMetric {
  return {
    name: (own(wire, 'name') as string | undefined) ?? null,
    alias: integerIn(wire, 'alias'),
    atMs: numberIn(wire, 'timestamp'),
    datatype: numberIn(wire, 'datatype'),
    isHistorical: wire.isHistorical ?? false,
    isNull: wire.isNull ?? false,
    quality: qualityOf(wire),
    raw: rawValue(wire),
  };
}

function rawValue(wire: WireMetric): SparkplugMetric['raw'] {
  const long = integerIn(wire, 'longValue');
  if (long !== null) return BigInt(long);
  for (const field of ['doubleValue', 'floatValue', 'intValue', 'booleanValue', 'stringValue'] as const) {
    const value = own(wire, field);
    if (value !== undefined) return value as number | boolean | string;
  }
  return undefined;
}

function qualityOf({ properties }: WireMetric): number | null {
  const index = properties?.keys?.indexOf('Quality') ?? -1;
  const value = properties?.values?.[index];
  if (!value) return null;
  return numberIn(value, 'intValue') ?? numberIn(value, 'longValue');
}

/** A field that was on the wire; the codec's defaults sit on the prototype. */
function own(message: object, field: string): unknown {
  return Object.hasOwn(message, field) ? (message as Record<string, unknown>)[field] : undefined;
}

/** 64-bit fields come as objects of the library's `long`, whose text is exact. */
function integerIn(message: object, field: string): string | null {
  const value = own(message, field) as { toString(): string } | undefined;
  return value === undefined ? null : value.toString();
}

function numberIn(message: object, field: string): number | null {
  const text = integerIn(message, field);
  return text === null ? null : Number(text);
}

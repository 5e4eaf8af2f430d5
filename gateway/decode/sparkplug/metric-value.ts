import type { SparkplugMetric } from './sparkplug-codec.ts';

/** Bits of the signed data types by their index: Int8, Int16, Int32, Int64 (Sparkplug 3.0 §6.4.16). */
const SIGNED_BITS: ReadonlyMap<number, number> = new Map([
  [1, 8],
  [2, 16],
  [3, 32],
  [4, 64],
]);
const UINT64_BITS = 64;

/**
 * The value of a metric by its data type. Integers stand unsigned on the wire, in either integer field: encoders differ on UInt32.
 * Text and what is no plain value is handed on or undefined, for the caller to refuse.
 */
export function metricValue(raw: SparkplugMetric['raw'], datatype: number): number | boolean | string | undefined {
  const isInteger = datatype >= 1 && datatype <= 8;
  if (typeof raw !== 'bigint' && !(isInteger && typeof raw === 'number' && Number.isInteger(raw))) return raw;
  const bits = SIGNED_BITS.get(datatype);
  return Number(bits === undefined ? BigInt.asUintN(UINT64_BITS, BigInt(raw)) : BigInt.asIntN(bits, BigInt(raw)));
}

import { parquetWriteBuffer } from 'hyparquet-writer';
import { rowsInOrder } from './rows-in-order.ts';
import type { PointRows } from './shift-data.ts';

/**
 * Rows as Parquet, typed: times as milliseconds in UTC, values as doubles in the unit beside them. The units of all points are in the
 * file's metadata too. The same rows give the same bytes.
 */
export function traceParquet(points: readonly PointRows[], metadata: Readonly<Record<string, string>>): Uint8Array {
  const refs = rowsInOrder(points);
  const column = <T>(read: (rows: PointRows, index: number) => T): T[] => refs.map(({ rows, index }) => read(rows, index));
  const time = (ms: number | null | undefined): Date | null => (ms === null || ms === undefined ? null : new Date(ms));
  const whole = (value: number | null | undefined): bigint | null => (value === null || value === undefined ? null : BigInt(value));
  const buffer = parquetWriteBuffer({
    columnData: [
      { name: 'time', data: column((rows, index) => time(rows.atMs[index])), type: 'TIMESTAMP', nullable: false },
      { name: 'owner', data: column((rows) => rows.owner), type: 'STRING', nullable: false },
      { name: 'point', data: column((rows) => rows.point), type: 'STRING', nullable: false },
      { name: 'value', data: column((rows, index) => rows.value[index] ?? null), type: 'DOUBLE', nullable: true },
      { name: 'unit', data: column((rows) => rows.unit), type: 'STRING', nullable: false },
      { name: 'quality', data: column((rows, index) => rows.quality[index] ?? 'bad'), type: 'STRING', nullable: false },
      { name: 'reason', data: column((rows, index) => rows.reason[index] ?? null), type: 'STRING', nullable: true },
      { name: 'late', data: column((rows, index) => rows.late[index] ?? false), type: 'BOOLEAN', nullable: false },
      { name: 'received', data: column((rows, index) => time(rows.receivedAtMs[index])), type: 'TIMESTAMP', nullable: true },
      { name: 'sequence', data: column((rows, index) => whole(rows.sequence[index])), type: 'INT64', nullable: true },
    ],
    rowGroupSize: 100_000,
    createdBy: 'potside',
    kvMetadata: [
      ...Object.entries(metadata).map(([key, value]) => ({ key: `potside.${key}`, value })),
      { key: 'potside.units', value: JSON.stringify(Object.fromEntries(points.map(({ owner, point, unit }) => [`${owner}/${point}`, unit]))) },
    ],
  });
  return new Uint8Array(buffer);
}

import type { LogEntry } from '../../domain/site/log.ts';
import type { BatchBody } from './read-tables.ts';

/** What the log's row says of an entry; of a batch, where its readings lie. */
export function logBody(entry: LogEntry, firstReading: number): string {
  if (entry.kind === 'batch') return JSON.stringify({ first: firstReading, count: entry.readings.length, origin: entry.origin } satisfies BatchBody);
  const { kind: _kind, seq: _seq, atMs: _atMs, ...body } = entry;
  return JSON.stringify(body);
}

import { findPointKind } from '../../domain/points/catalogue.ts';
import type { Quality, QualityReason } from '../../domain/points/reading.ts';
import type { Sqlite } from '../../host/open-sqlite.ts';
import type { RecordedRow } from './store.ts';

type Row = [atMs: number, receivedAtMs: number | null, value: number | null, quality: Quality, reason: QualityReason | null, late: number];

/** Rows of one series in order of time; of equal times the one that came first stays first. */
export function* readRows(database: Sqlite, series: number, point: string, fromMs: number, toMs: number): Generator<RecordedRow> {
  const isComputed = findPointKind(point)?.origin === 'computed';
  const rows = isComputed
    ? database.prepare('SELECT at_ms, NULL, value, quality, reason, 0 FROM computed WHERE series = ? AND at_ms >= ? AND at_ms <= ? ORDER BY at_ms')
    : database.prepare('SELECT observed_ms, received_ms, value, quality, reason, late FROM reading WHERE series = ? AND observed_ms >= ? AND observed_ms <= ? ORDER BY observed_ms, id');
  for (const [atMs, receivedAtMs, value, quality, reason, late] of rows.raw().all(series, fromMs, toMs) as Row[]) yield { atMs, receivedAtMs, value, quality, reason, late: late === 1 };
}

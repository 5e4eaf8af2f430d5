import type { TraceSeries } from '../../domain/wire/trace.ts';
import { type Answer, callApi } from './call-api.ts';
import { idempotencyKey } from './idempotency-key.ts';
import type { HandEntry, Shift, ShiftPage } from './shift-shapes.ts';

export interface ShiftQuestion {
  readonly site: string | null;
  readonly rig: string | null;
  readonly state: string | null;
  readonly search: string;
  readonly fromMs: number | null;
  readonly toMs: number | null;
  readonly limit: number;
  readonly cursor: string | null;
}

export function readShifts({ site, rig, state, search, fromMs, toMs, limit, cursor }: ShiftQuestion): Promise<Answer<ShiftPage>> {
  const query = new URLSearchParams({ limit: String(limit) });
  const said = { site, rig, state, search: search.trim() === '' ? null : search.trim(), from: rfc3339(fromMs), to: rfc3339(toMs), cursor };
  for (const [name, value] of Object.entries(said)) if (value !== null) query.set(name, value);
  return callApi<ShiftPage>(`/api/shifts?${query.toString()}`);
}

export function shiftPath(id: string, rest = ''): string {
  return `/api/shifts/${encodeURIComponent(id)}${rest === '' ? '' : `/${rest}`}`;
}

export function readShift(id: string): Promise<Answer<Shift>> {
  return callApi<Shift>(shiftPath(id));
}

export function readEntries(id: string): Promise<Answer<{ readonly items: readonly HandEntry[] }>> {
  return callApi(shiftPath(id, 'entries'));
}

/** A column of a recorded point; `late` marks what came after the fact. */
export type RecordedSeries = TraceSeries;

export interface RecordedTrace {
  readonly fromMs: number;
  readonly toMs: number;
  readonly series: readonly RecordedSeries[];
}

export interface StretchQuestion {
  readonly shift: string;
  readonly points: readonly string[];
  readonly fromMs: number;
  readonly toMs: number;
  readonly widthPx: number;
}

/** A server of two cores may need a while for a whole month's worth of shifts asked at once. */
const TRACE_TIMEOUT_MS = 30_000;

export function readStretch({ shift, points, fromMs, toMs, widthPx }: StretchQuestion): Promise<Answer<RecordedTrace>> {
  const width = Math.min(4000, Math.max(10, Math.round(widthPx)));
  const query = new URLSearchParams({ points: points.join(','), from: new Date(fromMs).toISOString(), to: new Date(toMs).toISOString(), width: String(width) });
  return callApi<RecordedTrace>(`${shiftPath(shift, 'trace')}?${query.toString()}`, { timeoutMs: TRACE_TIMEOUT_MS });
}

/** A photo over the radio takes its time. */
const PHOTO_TIMEOUT_MS = 60_000;

export function sendPhoto(shift: string, photo: Blob): Promise<Answer<{ readonly id: string }>> {
  return callApi(shiftPath(shift, 'photos'), { method: 'POST', blob: photo, key: idempotencyKey(), timeoutMs: PHOTO_TIMEOUT_MS });
}

export function photoPath(shift: string, photo: string): string {
  return shiftPath(shift, `photos/${encodeURIComponent(photo)}`);
}

function rfc3339(ms: number | null): string | null {
  return ms === null ? null : new Date(ms).toISOString();
}

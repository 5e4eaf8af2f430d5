import { type Answer, callApi } from './call-api.ts';

export interface JournalEntry {
  readonly id: string;
  /** RFC 3339. */
  readonly at: string;
  readonly kind: string;
  readonly text: string;
  /** Rig, compressor or site it is about. */
  readonly rig: string | null;
  readonly detail: Readonly<Record<string, unknown>>;
}

export interface JournalPage {
  readonly items: readonly JournalEntry[];
  readonly next: string | null;
}

export interface JournalQuestion {
  readonly site: string;
  readonly rig: string | null;
  /** Id of one alarm. */
  readonly alarm: string | null;
  readonly cursor: string | null;
  readonly limit: number;
}

export function readJournal({ site, rig, alarm, cursor, limit }: JournalQuestion): Promise<Answer<JournalPage>> {
  const query = new URLSearchParams({ site, limit: String(limit), ...(rig === null ? {} : { rig }), ...(alarm === null ? {} : { alarm }), ...(cursor === null ? {} : { cursor }) });
  return callApi<JournalPage>(`/api/journal?${query.toString()}`);
}

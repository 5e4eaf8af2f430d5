import type { Shift, ShiftItem, ShiftState } from '../../domain/shift/shift.ts';
import type { Headline } from '../../domain/shift/headline.ts';

export interface ShiftQuery {
  readonly sites: readonly string[];
  readonly rig?: string | undefined;
  readonly state?: ShiftState | undefined;
  /** Words in the crew, the setup, the rig or what was said on it. */
  readonly search?: string | undefined;
  /** Started in this stretch. */
  readonly fromMs?: number | undefined;
  readonly toMs?: number | undefined;
  readonly limit: number;
  /** Only what comes after this one in the list. */
  readonly after?: { readonly startedAtMs: number; readonly id: string } | undefined;
}

export interface RecordedShift {
  readonly site: string;
  readonly shift: Shift;
  /** Worked out once, when the shift ended; null before. */
  readonly headline: Headline | null;
}

export interface Photo {
  readonly mediaType: string;
  readonly bytes: Uint8Array;
}

/** What the record holds of shifts beside their readings. Rows are only added; a shift's head and headline stand as they are now. */
export interface ShiftRecord {
  /** Newest first. */
  list(query: ShiftQuery): Promise<RecordedShift[]>;
  find(id: string): Promise<RecordedShift | null>;
  /** Oldest first. */
  items(shift: string): Promise<ShiftItem[]>;
  keepHeadline(shift: string, headline: Headline): Promise<void>;
  /** Kept under the SHA-256 of its bytes; the same bytes again are the same photo. */
  keepPhoto(sha256: string, photo: Photo): Promise<void>;
  photo(sha256: string): Promise<Photo | null>;
  /** The bundle as it was sealed, byte for byte: a later version would build other bytes. */
  keepBundle(shift: string, bytes: Uint8Array): Promise<void>;
  bundle(shift: string): Promise<Uint8Array | null>;
}

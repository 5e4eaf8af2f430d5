import type { LogEntry } from '../../domain/site/log.ts';

export type Draft = LogEntry extends infer E ? (E extends LogEntry ? Omit<E, 'seq' | 'atMs'> : never) : never;

/** The fold of one job failed: its entry is poison, and the state is no longer to be used. */
export class FoldError extends Error {
  readonly job: object;

  constructor(job: object, cause: unknown) {
    super(cause instanceof Error ? cause.message : String(cause), { cause });
    this.job = job;
  }
}

/** What takes an entry's place that can't be folded or stored: its content as it was, and why. */
export function quarantine(draft: Draft, error: unknown): Draft {
  const { kind: what, ...held } = draft;
  return { kind: 'quarantine', what, reason: error instanceof Error ? error.message : String(error), held: JSON.stringify(held) };
}

/**
 * True where a commit failed because of what was to be written, and would fail again on any disk; false where the disk or the
 * database refused, and sending it again is right.
 */
export function isOfTheEntry(error: unknown): boolean {
  if (error instanceof TypeError || error instanceof RangeError) return true;
  const code = (error as { code?: unknown }).code;
  // SQLite: constraint, mismatch, too big, bind out of range. PostgreSQL: classes 22 (data) and 23 (integrity).
  return typeof code === 'string' && /^(SQLITE_(CONSTRAINT|MISMATCH|TOOBIG|RANGE)|2[23][0-9A-Z]{3}$)/.test(code);
}

import type { JudgedAlarm } from '../../api/rejudge.ts';

export interface ComparedAlarm {
  readonly name: string;
  readonly rig: string | null;
  readonly before: JudgedAlarm | null;
  readonly after: JudgedAlarm | null;
}

/** Two occurrences are the same where they overlap or begin within so much of each other: changed delays move a beginning. */
const NEAR_MS = 300_000;

/** Alarms as raised then beside those that the changed settings would raise, in the order of time. */
export function compareJudged(before: readonly JudgedAlarm[], after: readonly JudgedAlarm[]): readonly ComparedAlarm[] {
  const free = new Set(after);
  const pairs: ComparedAlarm[] = before.map((one) => {
    const same = [...free].find((other) => other.name === one.name && other.rig === one.rig && isSame(one, other)) ?? null;
    if (same) free.delete(same);
    return { name: one.name, rig: one.rig, before: one, after: same };
  });
  const added = [...free].map((one) => ({ name: one.name, rig: one.rig, before: null, after: one }));
  return [...pairs, ...added].sort((a, b) => startOf(a) - startOf(b));
}

function isSame(a: JudgedAlarm, b: JudgedAlarm): boolean {
  const [fromA, fromB] = [Date.parse(a.raisedAt), Date.parse(b.raisedAt)];
  const [toA, toB] = [endOf(a), endOf(b)];
  return Math.abs(fromA - fromB) <= NEAR_MS || (fromA <= toB && fromB <= toA);
}

function endOf({ clearedAt }: JudgedAlarm): number {
  return clearedAt === null ? Infinity : Date.parse(clearedAt);
}

function startOf({ before, after }: ComparedAlarm): number {
  return Math.min(...[before, after].flatMap((one) => (one ? [Date.parse(one.raisedAt)] : [])));
}

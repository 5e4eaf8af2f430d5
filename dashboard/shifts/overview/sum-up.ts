import type { Quantity, ShiftCard } from '../../api/shift-shapes.ts';

export interface RigSum {
  readonly blastingMs: number;
  /** By blasting time, 0 to 1; null where no shift says. */
  readonly lostProduction: number | null;
  readonly audibleAlarms: number;
  readonly criticalAlarms: number;
  readonly boreFrom: Quantity | null;
  readonly boreTo: Quantity | null;
  /** Ended, but not signed by two. */
  readonly unsigned: number;
}

/** A rig's shifts in one line. Shares are weighed by how long was blasted: a short shift says less. */
export function sumUp(cards: readonly ShiftCard[]): RigSum {
  const byTime = [...cards].sort((a, b) => Date.parse(a.startedAt) - Date.parse(b.startedAt));
  const headlines = byTime.flatMap((card) => (card.headline ? [card.headline] : []));
  const weighed = headlines.filter((one) => one.lostProduction !== null && (one.blastingMs ?? 0) > 0);
  const weight = weighed.reduce((sum, one) => sum + (one.blastingMs ?? 0), 0);
  const add = (pick: (one: (typeof headlines)[number]) => number | null): number => headlines.reduce((sum, one) => sum + (pick(one) ?? 0), 0);
  return {
    blastingMs: add((one) => one.blastingMs),
    lostProduction: weight === 0 ? null : weighed.reduce((sum, one) => sum + (one.lostProduction ?? 0) * (one.blastingMs ?? 0), 0) / weight,
    audibleAlarms: add((one) => one.audibleAlarms),
    criticalAlarms: add((one) => one.criticalAlarms),
    boreFrom: headlines.find((one) => one.boreStart)?.boreStart ?? null,
    boreTo: headlines.findLast((one) => one.boreEnd)?.boreEnd ?? null,
    unsigned: cards.filter((card) => card.state === 'ended' || card.state === 'signed-once').length,
  };
}

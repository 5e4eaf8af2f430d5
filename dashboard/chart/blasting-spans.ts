import type { Column } from './column.ts';

export interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

/** When the nozzle was under flow. A step counts when it was so at any time in it; a gap ends a span, since it can't be said. */
export function blastingSpans(column: Column, endMs: number): readonly Span[] {
  const spans: Span[] = [];
  let fromMs: number | null = null;
  column.atMs.forEach((atMs, index) => {
    const isOn = (column.max[index] ?? 0) > 0;
    if (isOn && fromMs === null) fromMs = atMs;
    if (!isOn && fromMs !== null) {
      spans.push({ fromMs, toMs: atMs });
      fromMs = null;
    }
  });
  if (fromMs !== null) spans.push({ fromMs, toMs: Math.max(fromMs, endMs) });
  return spans;
}

import type { StationId } from './read-line.ts';

/** The parts of the line as we draw them, on a 48 by 40 field whose pipe runs in and out at height 28. */
export function PartSymbol({ id, x, y }: { id: StationId; x: number; y: number }) {
  return (
    <g className="part" transform={`translate(${Math.round(x) - 24} ${Math.round(y) - 28})`} aria-hidden="true">
      {SHAPES[id]}
    </g>
  );
}

const SHAPES: Readonly<Record<StationId, React.ReactNode>> = {
  // A towed housing with its intake louvres and wheel.
  compressor: (
    <>
      <path className="part__body" d="M6 33V13l5-6h26l5 6v20z" />
      <path d="M12 15v10M17 15v10M22 15v10" />
      <path d="M29 25a5 5 0 1 1 9 0" />
      <circle className="part__body" cx="24" cy="34" r="5" />
    </>
  ),
  // An upright vessel with water at its foot.
  separator: (
    <>
      <path className="part__body" d="M15 8q9-6 18 0v24q-9 6-18 0z" />
      <path d="M15 27q4.5-2 9 0t9 0M24 36v4" />
      <path d="M24 11q5 6 0 9q-5-3 0-9z" />
    </>
  ),
  // A pot: dished head, cone, legs, and the choke's tee under it.
  machine: (
    <>
      <path className="part__body" d="M11 10q13-9 26 0v8L27 29h-6L11 18z" />
      <path d="M11 18v18M37 18v18M24 3v3M24 29v4" />
      <path d="M11 14h26" />
    </>
  ),
  // A long bore that narrows and opens again, and what leaves it.
  nozzle: (
    <>
      <path className="part__body" d="M2 20h8l16 5 8-2v10l-8-2-16 5H2z" />
      <path d="M37 28h9M37 24l8-4M37 32l8 4" />
    </>
  ),
};

import { findPointKind } from '../../domain/points/catalogue.ts';
import { findUnit, type Dimension } from '../../domain/quantity/unit.ts';
import type { QualityReason } from '../../domain/points/reading.ts';
import type { WireProof } from '../../domain/wire/readiness.ts';
import { formatNumber, inSystem } from '../format/units.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';

/** What one sensor shows of a step: a mark and a word, the value, and what is wanted. */
export function ProofRow({ proof }: { proof: WireProof }) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.ready;
  const dimension = dimensionOf(proof);
  const text = (value: number): string => {
    if (proof.unit === null || dimension === null) return String(value);
    const { value: shown, symbol, decimals } = inSystem(value, proof.unit, dimension, units);
    const places = Number.isInteger(shown) ? 0 : Math.max(decimals, 1);
    return `${formatNumber(shown, places)}${symbol === '' ? '' : ` ${symbol}`}`;
  };
  const { low, high } = proof;
  const isSpan = low !== null && high !== null;
  const wanted = proof.kind === 'off' ? '' : isSpan ? told.within(text(low), text(high)) : high !== null ? told.atMost(text(high)) : low !== null ? told.atLeast(text(low)) : '';
  const shown = proof.value === null ? '' : proof.kind === 'off' ? '' : text(proof.value);
  const reason = words.reasons[proof.note as QualityReason];
  const note = reason ?? told.notes[proof.note] ?? proof.note;
  return (
    <div className="proof" data-state={proof.state}>
      <svg className="proof__mark" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
        {MARKS[proof.state]}
      </svg>
      <span className="proof__says">
        {proof.says} <span className="proof__state">{proof.state === 'by-hand' && note === '' ? told.noSensor : told.proofStates[proof.state]}</span>
        {proof.advisory ? <span className="soft"> ({told.advisory})</span> : null}
      </span>
      <span className="proof__value">
        <strong>{shown}</strong> <span className="soft">{[wanted, note].filter((part) => part !== '').join(', ')}</span>
      </span>
    </div>
  );
}

const MARKS: Readonly<Record<WireProof['state'], React.ReactNode>> = {
  holds: <path className="proof__full" d="M4 4h16v16H4z" />,
  waits: <path className="proof__line" strokeDasharray="4 3" d="M4 4h16v16H4z" />,
  fails: <path className="proof__line" d="M4 4h16v16H4zM4 4l16 16M20 4 4 20" />,
  // An eye: a person looks.
  'by-hand': <path className="proof__line" d="M2 12q10-12 20 0q-10 12-20 0zM12 9.5v5M9.5 12h5" />,
};

function dimensionOf(proof: WireProof): Dimension | null {
  const kind = proof.point === null ? undefined : findPointKind(proof.point);
  if (kind) return kind.dimension;
  return proof.unit === null ? null : (findUnit(proof.unit)?.dimension ?? null);
}

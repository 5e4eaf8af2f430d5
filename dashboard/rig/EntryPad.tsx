import { useEffect, useState } from 'react';
import { convert, needUnit } from '../../domain/quantity/unit.ts';
import type { LiveRig } from '../../domain/wire/live.ts';
import type { HandEntry } from '../api/shift-shapes.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useReader } from '../hooks/use-reader.ts';
import { useStore } from '../hooks/use-store.ts';
import { findRigPoint } from '../link/site-facts.ts';
import { BLOTTER_RESULTS, type EntryChoice, type EntryKey, STOP_REASONS, likelyNeedle, numberOf, valueChoices } from './entry-choices.ts';

export interface EntryPadProps {
  readonly kind: EntryKey;
  readonly rig: LiveRig;
  readonly entries: readonly HandEntry[];
  readonly isSending: boolean;
  readonly onTell: (choice: EntryChoice, place: string, label: string) => void;
  readonly onClose: () => void;
}

/** Where readings by hand have a place. */
const WITH_PLACE: readonly EntryKey[] = ['spot', 'area-done'];
/** A finger that bounces must not choose a value with the same tap that opened them. */
const SETTLE_MS = 400;
/** Done or not: one key says it. */
const PLAIN: readonly EntryKey[] = ['pot-filled', 'bump-done', 'filter-changed'];

/** The second tap: the likely answers as keys, and a field for any other. */
export function EntryPad({ kind, rig, entries, isSending, onTell, onClose }: EntryPadProps) {
  const { desk, words } = useSeat();
  const { points } = useStore(desk.live);
  const { system } = useReader();
  const told = words.rig;
  const places = [...new Set(entries.filter((entry) => entry.place !== '').map((entry) => entry.place))].slice(-5).toReversed();
  const [place, setPlace] = useState(!WITH_PLACE.includes(kind) ? '' : (places[0] ?? ''));
  const [other, setOther] = useState('');
  const number = numberOf(kind, system);
  const live = (id: string): number | null => {
    const point = findRigPoint(points, rig, id);
    return point?.quality === 'good' ? point.value : null;
  };
  const likely = (): number | null => {
    if (!number) return null;
    const from = kind === 'needle' ? likelyNeedle(live('nozzle-pressure') ?? live('expected-nozzle-pressure'), rig.wanted) : kind === 'spot' ? live('steel-temperature') : null;
    if (from !== null) return convert(from, needUnit(kind === 'needle' ? '[psi]' : 'Cel', kind === 'needle' ? 'pressure' : 'temperature'), needUnit(number.unit, kind === 'needle' ? 'pressure' : 'temperature'));
    const last = entries.findLast((entry) => entry.kind === kind && entry.value !== null);
    return last && last.unit === number.unit ? last.value : null;
  };
  // Held while the pad is open: keys that move under a finger send the wrong value.
  const [choices] = useState<readonly EntryChoice[]>(() => [
    ...(PLAIN.includes(kind) ? [{ label: told.plain[kind] ?? told.kinds[kind] ?? kind, value: null, unit: null, text: '' }] : []),
    ...(kind === 'stopped' ? STOP_REASONS.map((reason) => ({ label: told.reasons[reason] ?? reason, value: null, unit: null, text: reason })) : []),
    ...(kind === 'blotter' ? BLOTTER_RESULTS.map((result) => ({ label: told.blotter[result] ?? result, value: null, unit: null, text: result })) : []),
    ...valueChoices(kind, system, likely()),
  ]);
  const [isSettled, setSettled] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setSettled(true), SETTLE_MS);
    return () => clearTimeout(timer);
  }, []);
  const label = (choice: string): string => `${told.kinds[kind] ?? kind} ${choice}`;
  const typed = Number(other.replace(',', '.'));
  const isTyped = other.trim() !== '' && (number === null || Number.isFinite(typed));
  return (
    <div className="pad" data-testid="pad" role="group" aria-label={told.kinds[kind] ?? kind}>
      {WITH_PLACE.includes(kind) ? (
        <div className="pad__place">
          {places.map((one) => (
            <button key={one} type="button" className="key key--place" aria-pressed={one === place} onClick={() => setPlace(one === place ? '' : one)}>
              {one}
            </button>
          ))}
          <label className="field">
            {told.place}
            <input name="place" autoComplete="off" maxLength={120} value={place} onChange={(event) => setPlace(event.target.value)} />
          </label>
        </div>
      ) : null}
      <div className="keys keys--values">
        {choices.map((choice) => (
          <button key={choice.label} type="button" className="key key--value" disabled={isSending || !isSettled} data-testid="value" onClick={() => onTell(choice, place.trim(), label(PLAIN.includes(kind) && choice.value === null ? '' : choice.label).trim())}>
            {choice.label}
          </button>
        ))}
      </div>
      <form
        className="keys__other"
        onSubmit={(event) => {
          event.preventDefault();
          if (isTyped) onTell(number ? { label: other, value: typed, unit: number.unit, text: '' } : { label: other, value: null, unit: null, text: other.trim() }, place.trim(), label(number ? `${other} ${number.symbol}` : other));
        }}
      >
        {kind === 'stopped' || kind === 'bump-done' || kind === 'filter-changed' ? null : (
          <>
            <label className="field">
              {number ? told.otherValue(number.symbol) : told.otherText}
              <input name="other" autoComplete="off" inputMode={number ? 'decimal' : 'text'} maxLength={120} value={other} onChange={(event) => setOther(event.target.value)} />
            </label>
            <button type="submit" className="action" data-testid="tell-other" disabled={isSending || !isTyped}>
              {told.note}
            </button>
          </>
        )}
        <button type="button" className="action action--quiet" onClick={onClose}>
          {words.aside.cancel}
        </button>
      </form>
    </div>
  );
}

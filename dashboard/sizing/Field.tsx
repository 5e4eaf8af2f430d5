import { useId, useState } from 'react';
import type { SizingField } from '../../domain/air/sizing/set-up.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useStore } from '../hooks/use-store.ts';
import { fromSlide, readField, slideOf, slideRange, writeField } from './field-format.ts';

export interface FieldProps {
  readonly id: SizingField;
  readonly si: number;
  /** It makes no difference now. */
  readonly isIdle: boolean;
  readonly onChange: (si: number) => void;
}

/** One quantity, by slider or typed with its unit. What is typed wrong is said and changes nothing. */
export function Field({ id, si, isIdle, onChange }: FieldProps) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const [text, setText] = useState<string | null>(null);
  const own = useId();
  const { min, max, step } = slideRange(id, units);
  const label = words.sizing.fields[id];
  const read = text === null ? null : readField(id, text, units);
  const wrong = read && 'wrong' in read ? words.sizing.badQuantity(typeof read.wrong === 'string' ? read.wrong : words.fromTo(...read.wrong)) : null;
  const type = (next: string): void => {
    setText(next);
    const typed = readField(id, next, units);
    if ('si' in typed) onChange(typed.si);
  };
  return (
    <div className="field-row" data-idle={isIdle || undefined}>
      <label className="field-row__label" htmlFor={own}>
        {label}
      </label>
      <input
        id={own}
        className="field-row__text"
        data-testid={`field-${id}`}
        value={text ?? writeField(id, si, units)}
        autoComplete="off"
        spellCheck={false}
        aria-invalid={wrong !== null || undefined}
        aria-describedby={wrong === null ? undefined : `${own}-wrong`}
        onChange={(event) => type(event.target.value)}
        onBlur={() => (wrong === null ? setText(null) : undefined)}
      />
      <input
        type="range"
        className="field-row__slide"
        aria-label={label}
        aria-valuetext={writeField(id, si, units)}
        data-testid={`slide-${id}`}
        min={min}
        max={max}
        step={step}
        value={slideOf(id, si, units)}
        onChange={(event) => {
          setText(null);
          onChange(fromSlide(id, Number(event.target.value), units));
        }}
      />
      {wrong === null ? null : (
        <p className="field-row__wrong" id={`${own}-wrong`} role="alert">
          {wrong}
        </p>
      )}
    </div>
  );
}

export interface SelectProps {
  readonly label: string;
  readonly value: string;
  /** What an empty choice is called; without it there is none. */
  readonly all?: string;
  readonly options: readonly (readonly [value: string, label: string])[];
  readonly onChange: (value: string) => void;
}

/** One of many, by the browser's own list: on a phone that is the one people know. */
export function Select({ label, value, all, options, onChange }: SelectProps) {
  return (
    <label className="field">
      {label}
      <select value={value} onChange={(event) => onChange(event.target.value)}>
        {all === undefined ? null : <option value="">{all}</option>}
        {options.map(([id, text]) => (
          <option key={id} value={id}>
            {text}
          </option>
        ))}
      </select>
    </label>
  );
}

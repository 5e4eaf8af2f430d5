import { useSeat } from '../../hooks/desk-context.ts';

export interface RowsProps<F extends string> {
  readonly legend: string;
  readonly testId: string;
  readonly fields: readonly { readonly name: F; readonly label: string; readonly type?: 'text' | 'date'; readonly options?: readonly (readonly [value: string, label: string])[] }[];
  readonly rows: readonly Readonly<Record<F, string>>[];
  readonly onChange: (rows: readonly Readonly<Record<F, string>>[]) => void;
  readonly more: string;
}

/** A short table that people fill in: a line each, as many as there are. */
export function Rows<F extends string>({ legend, testId, fields, rows, onChange, more }: RowsProps<F>) {
  const { words } = useSeat();
  const change = (index: number, name: F, value: string): void => onChange(rows.map((row, at) => (at === index ? { ...row, [name]: value } : row)));
  const empty = Object.fromEntries(fields.map(({ name }) => [name, ''])) as Record<F, string>;
  return (
    <fieldset className="rows" data-testid={testId}>
      <legend>{legend}</legend>
      {rows.map((row, index) => (
        <div key={index} className="rows__row" data-fields={fields.length}>
          {fields.map(({ name, label, type, options }) => (
            <label key={name} className="field">
              {label}
              {options ? (
                <select value={row[name]} onChange={(event) => change(index, name, event.target.value)}>
                  <option value="">–</option>
                  {options.map(([value, text]) => (
                    <option key={value} value={value}>
                      {text}
                    </option>
                  ))}
                </select>
              ) : (
                <input type={type ?? 'text'} autoComplete="off" maxLength={120} value={row[name]} onChange={(event) => change(index, name, event.target.value)} />
              )}
            </label>
          ))}
          <button type="button" className="action action--quiet rows__less" aria-label={words.shifts.startForm.less(index + 1)} onClick={() => onChange(rows.filter((_, at) => at !== index))}>
            {words.shifts.startForm.remove}
          </button>
        </div>
      ))}
      <button type="button" className="action action--quiet" data-testid={`${testId}-more`} onClick={() => onChange([...rows, empty])}>
        {more}
      </button>
    </fieldset>
  );
}

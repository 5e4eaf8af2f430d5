export interface ChoicesProps {
  readonly legend: string;
  readonly name: string;
  readonly chosen: string;
  readonly options: readonly (readonly [value: string, label: string])[];
  readonly onChoose: (value: string) => void;
}

/** One of a few, each as large as a glove needs. */
export function Choices({ legend, name, chosen, options, onChoose }: ChoicesProps) {
  return (
    <fieldset className="choices">
      <legend>{legend}</legend>
      {options.map(([value, label]) => (
        <label key={value} className="choice">
          <input type="radio" name={name} checked={value === chosen} onChange={() => onChoose(value)} />
          <span>{label}</span>
        </label>
      ))}
    </fieldset>
  );
}

export type FactLine = readonly [label: string, value: string, note?: string];

/** Figures, each under its name and with what it rests on. */
export function Facts({ facts }: { facts: readonly FactLine[] }) {
  return (
    <dl className="facts">
      {facts.map(([label, value, note]) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd>{value}</dd>
          {note ? <dd className="facts__note">{note}</dd> : null}
        </div>
      ))}
    </dl>
  );
}

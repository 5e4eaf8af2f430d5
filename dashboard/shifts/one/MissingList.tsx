import { useSeat } from '../../hooks/desk-context.ts';

export function MissingList({ missing }: { missing: readonly string[] }) {
  const { words } = useSeat();
  if (missing.length === 0) return <p>{words.shifts.missing.nothing}</p>;
  return (
    <div className="missing" data-testid="missing">
      <h3>{words.shifts.missing.title}</h3>
      <ul>
        {missing.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
    </div>
  );
}

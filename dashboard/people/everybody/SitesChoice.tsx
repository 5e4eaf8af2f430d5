import type { LiveSite } from '../../../domain/wire/live.ts';
import { useSeat } from '../../hooks/desk-context.ts';

export interface SitesChoiceProps {
  readonly sites: readonly LiveSite[];
  /** Null: every site, also those that come later. */
  readonly chosen: readonly string[] | null;
  readonly onChange: (chosen: readonly string[] | null) => void;
}

/** Every site, or those named. */
export function SitesChoice({ sites, chosen, onChange }: SitesChoiceProps) {
  const { words } = useSeat();
  const told = words.people.list;
  // A site that the person has and this page does not show must not be lost by saving.
  const ids = [...new Set([...sites.map(({ id }) => id), ...(chosen ?? [])])];
  const toggle = (id: string): void => onChange(chosen?.includes(id) ? chosen.filter((one) => one !== id) : [...(chosen ?? []), id]);
  return (
    <fieldset className="ticks">
      <legend>{told.sites}</legend>
      <label className="tick">
        <input type="checkbox" checked={chosen === null} onChange={(event) => onChange(event.target.checked ? null : [])} />
        {told.allSites}
      </label>
      {chosen === null
        ? null
        : ids.map((id) => (
            <label key={id} className="tick">
              <input type="checkbox" checked={chosen.includes(id)} onChange={() => toggle(id)} />
              {sites.find((site) => site.id === id)?.name ?? id}
            </label>
          ))}
    </fieldset>
  );
}

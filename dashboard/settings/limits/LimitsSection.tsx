import { useMemo, useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { readChanges } from '../../api/settings.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { rulesUnder } from '../../shifts/rejudge/rule-settings.ts';
import { useDraft } from '../use-settings.ts';
import { LimitRow } from './LimitRow.tsx';

/** Every alarm with what it is shipped with and what this site changes, and who did. */
export function LimitsSection({ site }: { site: LiveSite }) {
  const { words } = useSeat();
  const told = words.settingsScreen.limits;
  const draft = useDraft();
  const regime = draft.document['regime'] === 'EN' ? 'EN' : 'US';
  const rules = useMemo(() => rulesUnder(regime, words.told), [regime, words]);
  const [find, setFind] = useState('');
  const [onlyChanged, setOnlyChanged] = useState(false);
  const { body } = useAnswer(`${site.id} ${draft.held.version}`, () => readChanges(site.id));
  const sought = find.trim().toLowerCase();
  const shown = rules.filter(({ name, title }) => (!onlyChanged || draft.get(['alarms', name]) !== undefined) && (sought === '' || `${name} ${title}`.toLowerCase().includes(sought)));
  return (
    <>
      <p className="soft">{told.lead}</p>
      <div className="limits__find">
        <label className="field">
          {told.find}
          <input type="search" value={find} data-testid="find-limit" autoComplete="off" onChange={(event) => setFind(event.target.value)} />
        </label>
        <label className="tick">
          <input type="checkbox" checked={onlyChanged} onChange={(event) => setOnlyChanged(event.target.checked)} />
          <span>{told.onlyChanged}</span>
        </label>
      </div>
      {shown.length === 0 ? <p className="soft">{told.none}</p> : null}
      <ul className="limits">
        {shown.map(({ rule, shipped }) => (
          <LimitRow key={rule.name} rule={rule} shipped={shipped} zone={site.zone} history={body?.items.filter(({ field }) => field.startsWith(`alarms.${rule.name}.`)) ?? []} />
        ))}
      </ul>
    </>
  );
}

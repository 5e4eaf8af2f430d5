import { type FormEvent, useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { type TokenRow, readList } from '../../api/people.ts';
import { ROLES } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { Select } from '../../ui/Select.tsx';
import { SitesChoice } from '../everybody/SitesChoice.tsx';
import { OnceDialog } from '../OnceDialog.tsx';
import { Failure, Panel, Text, dayText } from '../parts.tsx';
import { sitesText } from '../sites-text.ts';
import { useRequest } from '../use-request.ts';
import { endOfDay } from './end-of-day.ts';
import { WaysInList } from './WaysInList.tsx';

/** Bearer tokens: a role, sites, an end. */
export function TokensPanel({ sites, zone }: { readonly sites: readonly LiveSite[]; readonly zone: string }) {
  const { words } = useSeat();
  const told = words.people.tokens;
  const tokens = useAnswer('tokens', () => readList<TokenRow>('/api/tokens'));
  const { isSending, failure, fail, send } = useRequest();
  const [name, setName] = useState('');
  const [role, setRole] = useState('viewer');
  const [seen, setSeen] = useState<readonly string[] | null>(null);
  const [day, setDay] = useState('');
  const [made, setMade] = useState<{ readonly name: string; readonly token: string } | null>(null);
  const roleText = (one: string): string => (one === 'gateway' ? told.gateway : words.roleNames(one));
  const submit = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (seen?.length === 0) return fail(words.people.list.pickSite);
    const until = endOfDay(day);
    const answer = await send<{ token: string }>('/api/tokens', { method: 'POST', body: { name: name.trim(), role, sites: seen, ...(until === undefined ? {} : { until }) } });
    if (!answer.ok) return;
    setMade({ name: name.trim(), token: answer.body.token });
    setName('');
    tokens.again();
  };
  return (
    <Panel title={told.region} testId="tokens">
      <form className="panel__form" noValidate onSubmit={(event) => void submit(event)}>
        <Text label={told.name} maxLength={64} value={name} onChange={setName} />
        <Select label={told.role} value={role} options={[...ROLES, 'gateway'].map((one) => [one, roleText(one)])} onChange={setRole} />
        <SitesChoice sites={sites} chosen={seen} onChange={setSeen} />
        <Text label={told.until} type="date" value={day} onChange={setDay} />
        <Failure text={failure} />
        <div className="panel__keys">
          <button type="submit" className="action" data-testid="make-token" disabled={isSending || name.trim() === ''}>
            {told.make}
          </button>
        </div>
      </form>
      <WaysInList
        path="/api/tokens"
        testId="token"
        asked={tokens}
        none={told.none}
        revokeWord={told.revoke}
        describe={(one) => ({
          key: one.name,
          name: one.name,
          what: `${roleText(one.role)}, ${sitesText(one.sites, words.people)}`,
          more: `${one.until === null ? told.noEnd : words.people.until(dayText(one.until, zone, words))}${one.madeBy === null ? '' : `, ${told.madeBy(one.madeBy)}`}`,
        })}
      />
      {made ? <OnceDialog title={told.once(made.name)} what={told.onceMore} secret={made.token} onClose={() => setMade(null)} /> : null}
    </Panel>
  );
}

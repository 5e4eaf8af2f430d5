import { useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { type ScreenRow, readList } from '../../api/people.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { Select } from '../../ui/Select.tsx';
import { OnceDialog } from '../OnceDialog.tsx';
import { Failure, Panel, Text, dayText } from '../parts.tsx';
import { useRequest } from '../use-request.ts';
import { endOfDay } from './end-of-day.ts';
import { WaysInList } from './WaysInList.tsx';

/** The link of a wall screen, and the tablet at the rig on which a PIN is enough. */
export function ScreensPanel({ sites, zone }: { readonly sites: readonly LiveSite[]; readonly zone: string }) {
  const { words } = useSeat();
  const told = words.people.screens;
  const screens = useAnswer('screens', () => readList<ScreenRow>('/api/screens'));
  const { isSending, failure, send } = useRequest();
  const [name, setName] = useState('');
  const [chosen, setSite] = useState('');
  const [day, setDay] = useState('');
  const [link, setLink] = useState<{ readonly name: string; readonly url: string } | null>(null);
  const [device, setDevice] = useState('');
  const site = chosen === '' ? (sites[0]?.id ?? '') : chosen;
  const make = async (kind: ScreenRow['kind']): Promise<void> => {
    const until = endOfDay(day);
    const answer = await send<{ path: string | null }>('/api/screens', { method: 'POST', body: { kind, name: name.trim(), site, ...(until === undefined ? {} : { until }) } });
    if (!answer.ok) return;
    if (answer.body.path !== null) setLink({ name: name.trim(), url: location.origin + answer.body.path });
    setDevice(kind === 'device' ? name.trim() : '');
    setName('');
    screens.again();
  };
  return (
    <Panel title={told.region} testId="screens">
      <form className="panel__form" noValidate onSubmit={(event) => event.preventDefault()}>
        <Text label={told.name} maxLength={64} value={name} onChange={setName} />
        <Select label={told.site} value={site} options={sites.map((one) => [one.id, one.name])} onChange={setSite} />
        <Text label={told.until} type="date" value={day} onChange={setDay} />
        <Failure text={failure} />
        <div className="panel__keys">
          <button type="button" className="action" data-testid="make-wall" disabled={isSending || name.trim() === ''} onClick={() => void make('wall')}>
            {told.makeWall}
          </button>
          <button type="button" className="action" data-testid="make-device" disabled={isSending || name.trim() === ''} onClick={() => void make('device')}>
            {told.makeDevice}
          </button>
        </div>
        <p role="status">{device === '' ? '' : told.device(device)}</p>
      </form>
      <WaysInList
        path="/api/screens"
        testId="screen"
        asked={screens}
        none={told.none}
        revokeWord={told.revoke}
        describe={(one) => ({
          key: one.id,
          name: one.name,
          what: `${told.kinds[one.kind]}, ${sites.find(({ id }) => id === one.site)?.name ?? one.site}`,
          more: `${words.people.until(dayText(one.until, zone, words))}, ${words.people.tokens.madeBy(one.madeBy)}`,
        })}
      />
      {link ? <OnceDialog title={told.link(link.name)} what={told.linkMore} secret={link.url} onClose={() => setLink(null)} /> : null}
    </Panel>
  );
}

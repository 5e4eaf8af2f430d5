import { useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { type Proposal, readProposals } from '../../api/rejudge.ts';
import { mayPutIntoForce } from '../../api/session.ts';
import { formatDate } from '../../format/day.ts';
import { formatClockOnce } from '../../format/instant.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Dialog } from '../../ui/Dialog.tsx';
import { OrderForm } from '../../ui/OrderForm.tsx';
import { SETTINGS, triableRules } from './rule-settings.ts';

/** Changed alarm settings that somebody tried and proposes; who may, puts them into force. */
export function Proposals({ sites }: { sites: readonly LiveSite[] }) {
  const { words, session } = useSeat();
  const told = words.shifts.proposalPage;
  const [deciding, setDeciding] = useState<Proposal | null>(null);
  const asked = useAnswer('proposals', readProposals);
  const rules = triableRules(words.told);
  const items = asked.body?.items ?? [];
  const at = (rfc3339: string, zone: string): string => `${formatDate(Date.parse(rfc3339), zone, words)} ${formatClockOnce(Date.parse(rfc3339), zone, false)}`;
  return (
    <section className="proposals" data-testid="proposals" aria-label={words.shifts.proposals}>
      <p>{told.about}</p>
      <p className="soft" role="status">
        {asked.failure !== null ? words.shifts.failed(asked.failure || words.shift.serverUnreachable) : asked.body === null ? words.shifts.loading : items.length === 0 ? told.none : ''}
      </p>
      <ol className="proposals__list">
        {items.map((one) => {
          const zone = sites.find((site) => site.id === one.site)?.zone ?? 'UTC';
          return (
            <li key={one.id} className="proposal" data-testid={`proposal-${one.id}`} data-in-force={one.inForce !== null || undefined}>
              <div>
                {Object.entries(one.alarms).map(([alarm, settings]) => (
                  <p key={alarm}>
                    <strong>{rules.find((rule) => rule.name === alarm)?.title ?? alarm}</strong>:{' '}
                    {SETTINGS.filter((setting) => settings[setting] !== undefined)
                      .map((setting) => `${words.shifts.rejudge.settings[setting]} ${settings[setting]}`)
                      .join(', ')}
                  </p>
                ))}
                <p>{one.reason}</p>
                <p className="soft">
                  {sites.find((site) => site.id === one.site)?.name ?? one.site}, {told.by(one.by, at(one.at, zone))}
                </p>
              </div>
              <p className="proposal__counts">{one.before && one.after ? told.counts(one.before.counts.audible, one.after.counts.audible, one.shifts.length) : told.untried}</p>
              {one.inForce ? (
                <p>
                  <strong>{told.inForce(at(one.inForce.at, zone), one.inForce.by)}</strong>
                </p>
              ) : mayPutIntoForce(session.role) ? (
                <button type="button" className="action" data-testid="put-into-force" onClick={() => setDeciding(one)}>
                  {told.decide}
                </button>
              ) : (
                <p className="soft">{told.waits}</p>
              )}
            </li>
          );
        })}
      </ol>
      {deciding ? <Decide proposal={deciding} onDone={asked.again} onClose={() => setDeciding(null)} /> : null}
    </section>
  );
}

function Decide({ proposal, onDone, onClose }: { proposal: Proposal; onDone: () => void; onClose: () => void }) {
  const { words } = useSeat();
  const told = words.shifts.proposalPage;
  const [reason, setReason] = useState('');
  return (
    <Dialog title={told.decideTitle} what={proposal.reason} testId="decide-dialog" onClose={onClose}>
      <OrderForm
        path={`/api/proposals/${encodeURIComponent(proposal.id)}/put-into-force`}
        testId="decide-do"
        submit={told.decideDo}
        onDone={() => {
          onDone();
          onClose();
        }}
        onCancel={onClose}
        compose={() => (reason.trim() === '' ? { missing: words.shifts.needWords } : { body: { reason: reason.trim() } })}
      >
        <p>{told.decideAbout}</p>
        <label className="field">
          {words.shifts.rejudge.why}
          <textarea name="reason" rows={2} maxLength={500} value={reason} onChange={(event) => setReason(event.target.value)} />
        </label>
      </OrderForm>
    </Dialog>
  );
}

import { useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { type Plan, readList } from '../../api/people.ts';
import { mayManagePeople, mayTestNotices } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { Fetched, Panel } from '../parts.tsx';
import { EditPlan } from './EditPlan.tsx';
import { NoticeRows } from './NoticeRows.tsx';
import { PlanView, ReachView } from './PlanView.tsx';
import { TestPanel } from './TestPanel.tsx';

/** Who is told of alarms on this site, what came of it, and what that is worth. */
export function ToldTab({ site, zone }: { readonly site: LiveSite | undefined; readonly zone: string }) {
  const { words, session } = useSeat();
  const told = words.people.messages;
  const plans = useAnswer('notice-plans', () => readList<Plan>('/api/notice-plans'));
  const [isEditing, setEditing] = useState(false);
  if (!site) return <p className="sheet__empty">{words.noRigs}</p>;
  const mayChange = mayManagePeople(session.role);
  return (
    <Fetched asked={plans}>
      {({ items }) => {
        const plan = items.find((one) => one.site === site.id) ?? null;
        const done = (): void => {
          setEditing(false);
          plans.again();
        };
        if (isEditing) return <EditPlan site={site} plan={plan} onDone={done} onCancel={() => setEditing(false)} />;
        return (
          <div className="panels">
            <Panel title={told.region(site.name)} testId="plan">
              {plan ? <PlanView plan={plan} /> : <p>{told.noPlan}</p>}
              {mayChange ? (
                <div className="panel__keys">
                  <button type="button" className="action" data-testid="plan-change" onClick={() => setEditing(true)}>
                    {told.change}
                  </button>
                </div>
              ) : null}
            </Panel>
            {plan ? <ReachView plan={plan} /> : null}
            {plan && mayTestNotices(session.role) ? <TestPanel site={site.id} onTested={plans.again} /> : null}
            <Panel title={told.means} testId="meanings">
              <dl className="meanings">
                {told.meanings.map(([way, meaning]) => (
                  <div key={way}>
                    <dt>{way}</dt>
                    <dd>{meaning}</dd>
                  </div>
                ))}
              </dl>
              <p className="panel__lead">{told.onlyTaken}</p>
            </Panel>
            <NoticeRows site={site.id} zone={zone} />
          </div>
        );
      }}
    </Fetched>
  );
}

import type { Plan } from '../../api/people.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { PriorityMark } from '../../ui/PriorityMark.tsx';
import { Panel } from '../parts.tsx';
import { durationText, recipientText, turnText } from './plan-words.ts';

/** The steps of each plan, with whom they mean now. */
export function PlanView({ plan }: { readonly plan: Plan }) {
  const { words } = useSeat();
  const told = words.people.messages;
  return (
    <>
      <ul className="plans">
        {plan.plans.map(({ priority, steps }) => (
          <li key={priority} className="plan" data-testid={`plan-${priority}`}>
            <p className="plan__priority">
              <PriorityMark priority={priority} /> {words.priorities[priority]}
            </p>
            <ol className="plan__steps">
              {steps.map(({ afterMs, to, now }) => (
                <li key={afterMs}>
                  <strong>{afterMs === 0 ? told.atOnce : told.after(durationText(afterMs))}</strong> {to.map((one) => recipientText(one, words)).join(', ')}
                  {to.some(({ kind }) => kind !== 'webhook') ? <span className="soft"> ({now.length === 0 ? told.nobody : told.now(now.join(', '))})</span> : null}
                </li>
              ))}
            </ol>
          </li>
        ))}
      </ul>
      <p>{plan.repeatMs === null ? told.noRepeat : told.repeat(durationText(plan.repeatMs))}</p>
      <p>{told.lastWait(durationText(plan.lastWaitMs))}</p>
      {plan.rotas.length > 0 ? <h3>{told.rotas}</h3> : null}
      <ul className="rows-list">
        {plan.rotas.map(({ name, turns, now }) => (
          <li key={name} className="row">
            <div className="row__what">
              <strong>{name}</strong>
              <span>{now.length === 0 ? told.nobody : told.now(now.join(', '))}</span>
              {turns.map((turn) => (
                <span key={turnText(turn, told)} className="soft">
                  {turnText(turn, told)}
                </span>
              ))}
            </div>
          </li>
        ))}
      </ul>
    </>
  );
}

/** Everybody on the plans, and by what ways each can be reached; who can't is the first thing to put right. */
export function ReachView({ plan }: { readonly plan: Plan }) {
  const { words } = useSeat();
  const told = words.people.messages;
  const byReach = plan.people.toSorted((a, b) => a.ways.length - b.ways.length);
  return (
    <Panel title={told.reach} testId="reach">
      <ul className="rows-list">
        {byReach.map(({ name, role, ways, quiet }) => (
          <li key={name} className="row" data-testid={`reach-${name}`} data-unreached={ways.length === 0 || undefined}>
            <div className="row__what">
              <strong>{name}</strong>
              <span>{words.roleNames(role)}</span>
              <span className={ways.length === 0 ? 'row__warning' : 'soft'}>
                {ways.length === 0 ? told.noWay : told.ways(ways.map((way) => told.channelNames[way]).join(', '))}
                {quiet ? `, ${told.quietNow}` : ''}
              </span>
            </div>
          </li>
        ))}
        {plan.webhooks.map((id) => (
          <li key={`webhook ${id}`} className="row">
            <div className="row__what">
              <strong>{id}</strong>
              <span>{told.channelNames.webhook}</span>
            </div>
          </li>
        ))}
      </ul>
    </Panel>
  );
}

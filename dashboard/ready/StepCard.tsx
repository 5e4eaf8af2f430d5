import { useId, useState } from 'react';
import { readinessPath } from '../api/readiness.ts';
import { maySignCheck } from '../api/session.ts';
import { formatClock } from '../format/clock.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useOrder } from '../hooks/use-order.ts';
import { ProofRow } from './ProofRow.tsx';
import type { StepListProps } from './StepList.tsx';
import { StepTool } from './StepTool.tsx';
import type { WireStep } from '../../domain/wire/readiness.ts';

export interface StepCardProps extends Omit<StepListProps, 'steps'> {
  readonly step: WireStep;
  readonly onSigned: () => void;
}

/** One step: what to do, what the sensors show, what is signed, and what to do where it is not so. */
export function StepCard({ step, all, check, rig, zone, onDone, onSigned }: StepCardProps) {
  const { words, session } = useSeat();
  const { isSending, failure, send } = useOrder();
  const [note, setNote] = useState('');
  const [isMissing, setMissing] = useState(false);
  const said = useId();
  const told = words.ready;
  const titleOf = (id: string): string => all.find((one) => one.id === id)?.title ?? id;
  const order = async (what: 'sign' | 'fail', body: unknown): Promise<void> => {
    const isDone = await send(readinessPath(rig.id, what), body);
    await onDone();
    if (!isDone) return;
    setNote('');
    if (what === 'sign') onSigned();
  };
  const fail = (): void => {
    setMissing(note.trim() === '');
    if (note.trim() !== '') void order('fail', { step: step.id, text: note.trim() });
  };
  return (
    <div className="task">
      <div className="task__read">
        <ul className="task__todo">
          {step.todo.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
        <dl className="task__words">
          <div>
            <dt>{told.ifNot}</dt>
            <dd>{step.ifNot}</dd>
          </div>
          {step.again.length === 0 ? null : (
            <div>
              <dt>{told.again}</dt>
              <dd>{step.again.join('; ')}</dd>
            </div>
          )}
        </dl>
      </div>
      <div className="task__do">
        {step.proofs.length === 0 ? null : (
          <div className="task__proofs">
            <h3>{told.sensors}</h3>
            {step.proofs.map((proof) => (
              <ProofRow key={proof.says} proof={proof} />
            ))}
          </div>
        )}
        {check.shift !== null && maySignCheck(session.role) ? <StepTool step={step.id} check={check} rig={rig} onDone={onDone} /> : null}
        {step.signed && step.state !== 'open' ? (
          <p className="task__signed">
            {told.signed(step.signed.by, words.roles[step.signed.role as keyof typeof words.roles] ?? step.signed.role, formatClock(Date.parse(step.signed.at), zone, false))}
            {step.expiresAt ? `, ${told.expires(formatClock(Date.parse(step.expiresAt), zone, false))}` : ''}
            {step.signed.note === '' ? '' : `. ${step.signed.note}`}
          </p>
        ) : null}
        {check.shift !== null && maySignCheck(session.role) ? (
          <form className="task__sign" onSubmit={(event) => event.preventDefault()}>
            <p className="task__seen">{step.seen}.</p>
            {step.waitsFor.length === 0 ? null : <p className="soft">{told.waitsFor(step.waitsFor.map(titleOf).join(', '))}</p>}
            <label className="task__note" htmlFor={said}>
              {told.note}
            </label>
            <input id={said} value={note} maxLength={300} autoComplete="off" onChange={(event) => setNote(event.target.value)} />
            <div className="task__keys">
              {step.state === 'done' ? null : (
                <button type="button" className="action" data-testid={`sign-${step.id}`} disabled={isSending} onClick={() => void order('sign', { step: step.id, note: note.trim() })}>
                  {told.sign(session.name)}
                </button>
              )}
              <button type="button" className="action action--quiet" data-testid={`fail-${step.id}`} disabled={isSending} onClick={fail}>
                {told.notSo}
              </button>
            </div>
            <p className="ready__failure" role="alert" data-testid={`failure-${step.id}`}>
              {isMissing && note.trim() === '' ? told.whatIsWrong : (failure ?? '')}
            </p>
          </form>
        ) : null}
      </div>
    </div>
  );
}

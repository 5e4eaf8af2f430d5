import { useState } from 'react';
import { shiftPath } from '../../api/shifts.ts';
import { type HandEntry, MEANINGS, type Meaning, type Shift } from '../../api/shift-shapes.ts';
import { formatDate } from '../../format/day.ts';
import { formatClockOnce } from '../../format/instant.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Choices } from '../../ui/Choices.tsx';
import { OrderForm } from '../../ui/OrderForm.tsx';
import type { ShiftWhere } from '../site-names.ts';
import { MissingList } from './MissingList.tsx';
import { whyNotSign } from './why-not-sign.ts';
import { whatsMissing } from './whats-missing.ts';

export interface SignOffPanelProps {
  readonly shift: Shift;
  readonly where: ShiftWhere;
  readonly entries: readonly HandEntry[];
  readonly maySign: boolean;
  readonly onChange: () => void;
}

/** The signatures so far, and the place for the next: two people in two roles. */
export function SignOffPanel({ shift, where, entries, maySign, onChange }: SignOffPanelProps) {
  const { words, session } = useSeat();
  const told = words.shifts.signOff;
  const [meaning, setMeaning] = useState<Meaning>(shift.signOffs.length === 0 ? MEANINGS[0] : MEANINGS[1]);
  const at = (rfc3339: string): string => `${formatDate(Date.parse(rfc3339), where.zone, words)} ${formatClockOnce(Date.parse(rfc3339), where.zone, false)}`;
  const hindrance = whyNotSign(shift, session, maySign, words);
  return (
    <section className="sign-off" data-testid="sign-off" aria-label={told.title}>
      <h3>{told.title}</h3>
      <ol className="sign-off__names">
        {[0, 1].map((place) => {
          const one = shift.signOffs[place];
          return (
            <li key={place} className="sign-off__name" data-signed={one !== undefined || undefined} data-testid={`signature-${place + 1}`}>
              {one ? (
                <>
                  <strong>{one.name}</strong>, {words.roleNames(one.role)}
                  <span>{words.shifts.meanings[one.meaning] ?? one.meaning}</span>
                  <span className="soft">{at(one.at)}</span>
                </>
              ) : (
                <span className="soft">{place === 0 ? told.firstEmpty : told.secondEmpty}</span>
              )}
            </li>
          );
        })}
      </ol>
      {shift.seal ? (
        <div className="seal" data-testid="seal">
          <p>
            <strong>{told.sealed(at(shift.seal.at))}</strong> {told.sealedAbout}
          </p>
          <dl>
            <dt>{told.root}</dt>
            <dd className="hex" data-testid="root">
              {shift.seal.root}
            </dd>
            <dt>{told.key}</dt>
            <dd className="hex" data-testid="key">
              {shift.seal.key}
            </dd>
          </dl>
        </div>
      ) : hindrance === null ? (
        <OrderForm path={shiftPath(shift.id, 'sign-off')} testId="sign-off-do" submit={told.do(session.name)} onDone={onChange} compose={() => ({ body: { meaning } })}>
          <MissingList missing={whatsMissing(shift, entries, [], words)} />
          <Choices legend={told.meaning} name="meaning" chosen={meaning} options={MEANINGS.map((one) => [one, words.shifts.meanings[one] ?? one])} onChoose={(one) => setMeaning(one as Meaning)} />
          <p>{told.as(session.name, words.roleNames(session.role))}</p>
          {shift.signOffs.length === 1 ? <p className="soft">{told.secondSeals}</p> : null}
        </OrderForm>
      ) : (
        <p className="soft">{hindrance}</p>
      )}
    </section>
  );
}

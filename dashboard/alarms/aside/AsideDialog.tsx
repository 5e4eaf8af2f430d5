import { type FormEvent, useEffect, useRef, useState } from 'react';
import type { LiveAlarm, LiveSite } from '../../../domain/wire/live.ts';
import { ASIDE_REASONS, type OutOfServiceBody, SHELF_MINUTES, type ShelveBody, alarmOrderPath } from '../../api/alarm-orders.ts';
import { formatClock } from '../../format/clock.ts';
import { formatDay } from '../../format/day.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useOrder } from '../../hooks/use-order.ts';
import { useReader } from '../../hooks/use-reader.ts';
import { Choices } from '../../ui/Choices.tsx';
import { whereOf } from '../where-of.ts';

export interface AsideDialogProps {
  readonly kind: 'shelve' | 'out-of-service';
  readonly alarm: LiveAlarm;
  readonly site: LiveSite;
  readonly onClose: () => void;
}

interface Said {
  readonly reason: string;
  readonly text: string;
  readonly minutes: number;
  readonly approvedBy: string;
}

/** Days that out of service may last; longer is asked for anew. */
const DAYS = [1, 3, 7, 14, 30] as const;
const DAY_MINUTES = 1440;

/** Setting an alarm aside takes two steps: saying why and for how long, then reading what that means. */
export function AsideDialog({ kind, alarm, site, onClose }: AsideDialogProps) {
  const { words, session } = useSeat();
  const { nowMs } = useReader();
  const dialog = useRef<HTMLDialogElement>(null);
  const [said, setSaid] = useState<Said>({ reason: '', text: '', minutes: kind === 'shelve' ? 60 : 7 * DAY_MINUTES, approvedBy: '' });
  const [isConfirming, setConfirming] = useState(false);
  const [isMissing, setMissing] = useState(false);
  const { isSending, failure, send } = useOrder();
  useEffect(() => dialog.current?.showModal(), []);
  const isShelf = kind === 'shelve';
  const untilMs = (nowMs ?? 0) + said.minutes * 60_000;

  const say = (part: Partial<Said>): void => {
    setSaid({ ...said, ...part });
    setMissing(false);
  };
  const goOn = (event: FormEvent): void => {
    event.preventDefault();
    const isWhole = said.reason !== '' && said.text.trim() !== '' && (isShelf || (said.approvedBy.trim() !== '' && said.approvedBy.trim() !== session.name));
    setMissing(!isWhole);
    setConfirming(isWhole);
  };
  const confirm = async (): Promise<void> => {
    const { reason, minutes } = said;
    const text = said.text.trim();
    const body: ShelveBody | OutOfServiceBody = isShelf ? { reason, text, minutes } : { text: `${words.aside.reasons[reason] ?? reason}: ${text}`, until: new Date(untilMs).toISOString(), approvedBy: said.approvedBy.trim() };
    if (await send(alarmOrderPath(alarm.id, kind), body)) dialog.current?.close();
  };
  return (
    <dialog className="dialog" ref={dialog} data-testid="aside-dialog" aria-labelledby="aside-title" onClose={onClose}>
      <h2 id="aside-title">{isShelf ? words.aside.shelveTitle : words.aside.takeOutTitle}</h2>
      <p className="dialog__what">
        {whereOf(alarm, site, words.alarms.site)}: {alarm.title}
      </p>
      {isConfirming ? (
        <div className="dialog__step" data-testid="aside-confirm">
          <p>{words.aside.confirm(alarm.title, whereOf(alarm, site, words.alarms.site), isShelf ? formatClock(untilMs, site.zone, false) : `${formatDay(untilMs, site.zone, words)} ${formatClock(untilMs, site.zone, false)}`)}</p>
          <p>
            {words.aside.reasons[said.reason]}: {said.text}
            {isShelf ? '' : `, ${words.aside.approved(said.approvedBy)}`}
          </p>
          <p className="soft">{words.aside.returns}</p>
          {failure ? (
            <p className="alarm__failure" role="alert">
              {failure}
            </p>
          ) : null}
          <div className="dialog__orders">
            <button type="button" className="action" data-testid="aside-do" disabled={isSending} onClick={() => void confirm()}>
              {isSending ? words.alarms.sending : isShelf ? words.aside.doShelve : words.aside.doTakeOut}
            </button>
            <button type="button" className="action action--quiet" onClick={() => setConfirming(false)}>
              {words.aside.back}
            </button>
          </div>
        </div>
      ) : (
        <form className="dialog__step" onSubmit={goOn} noValidate>
          <Choices legend={words.aside.reason} name="reason" chosen={said.reason} options={ASIDE_REASONS.map((r) => [r, words.aside.reasons[r] ?? r])} onChoose={(reason) => say({ reason })} />
          <label className="field">
            {words.aside.text}
            <textarea name="text" rows={2} maxLength={400} value={said.text} onChange={(e) => say({ text: e.target.value })} />
          </label>
          <Choices
            legend={words.aside.howLong}
            name="minutes"
            chosen={String(said.minutes)}
            options={isShelf ? SHELF_MINUTES.map((m) => [String(m), words.aside.duration(m)]) : DAYS.map((d) => [String(d * DAY_MINUTES), words.aside.days(d)])}
            onChoose={(minutes) => say({ minutes: Number(minutes) })}
          />
          {isShelf ? null : (
            <label className="field">
              {words.aside.approvedBy}
              <input name="approvedBy" autoComplete="off" value={said.approvedBy} onChange={(e) => say({ approvedBy: e.target.value })} />
            </label>
          )}
          <p className="alarm__failure" role="alert">
            {isMissing ? (isShelf ? words.aside.missing : words.aside.missingApproval) : ''}
          </p>
          <div className="dialog__orders">
            <button type="submit" className="action" data-testid="aside-next">
              {words.aside.next}
            </button>
            <button type="button" className="action action--quiet" onClick={() => dialog.current?.close()}>
              {words.aside.cancel}
            </button>
          </div>
        </form>
      )}
    </dialog>
  );
}

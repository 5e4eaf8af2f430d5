import { type FormEvent, useMemo, useState } from 'react';
import type { Shift } from '../../api/shift-shapes.ts';
import { type AlarmChanges, type Rejudged, rejudge } from '../../api/rejudge.ts';
import { readShifts } from '../../api/shifts.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { Choices } from '../../ui/Choices.tsx';
import type { ShiftWhere } from '../site-names.ts';
import { ChangeRows } from './ChangeRows.tsx';
import { ProposeForm } from './ProposeForm.tsx';
import { type DraftChange, NO_SETTINGS, readChanges, triableRules } from './rule-settings.ts';
import { SideBySide } from './SideBySide.tsx';

/** How many shifts of the rig are judged besides this one. */
const MORE = [0, 4, 19] as const;

interface Outcome {
  readonly alarms: AlarmChanges;
  readonly shifts: readonly string[];
  readonly rejudged: Rejudged;
}

/** What would have been raised with other limits: the recorded readings judged anew, beside what was. Nothing is changed by it. */
export function Rejudge({ shift, where }: { shift: Shift; where: ShiftWhere }) {
  const { words } = useSeat();
  const told = words.shifts.rejudge;
  const rules = useMemo(() => triableRules(words.told), [words]);
  const [drafts, setDrafts] = useState<readonly DraftChange[]>([{ alarm: 'nozzle-pressure-low', settings: NO_SETTINGS }]);
  const [more, setMore] = useState(0);
  const [isRunning, setRunning] = useState(false);
  const [failure, setFailure] = useState('');
  const [outcome, setOutcome] = useState<Outcome | null>(null);
  const run = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    const read = readChanges(drafts, rules);
    if ('wrong' in read) {
      const title = rules.find((rule) => rule.name === read.wrong.alarm)?.title ?? '';
      return setFailure(read.wrong.setting === null ? told.nothingChanged : told.unreadable(title, told.settings[read.wrong.setting]));
    }
    setFailure('');
    setRunning(true);
    // Beside the others this shift may be among them, and a running one, which has no end to judge to.
    const others = more === 0 ? null : await readShifts({ site: shift.site, rig: shift.rig, state: null, search: '', fromMs: null, toMs: null, limit: more + 2, cursor: null });
    const ids = others?.ok ? others.body.items.filter((card) => card.id !== shift.id && card.endedAt !== null).slice(0, more).map((card) => card.id) : [];
    const answer = await rejudge(shift.id, read.alarms, ids);
    setRunning(false);
    if (answer.ok) setOutcome({ alarms: read.alarms, shifts: [shift.id, ...ids], rejudged: answer.body });
    else setFailure(answer.status === 0 ? words.shift.serverUnreachable : words.problem(answer.detail));
  };
  return (
    <section className="rejudge" data-testid="rejudge" aria-label={words.shifts.tabNames.rejudge}>
      <p>{told.about}</p>
      <form className="rejudge__form" noValidate onSubmit={(event) => void run(event)}>
        <ChangeRows drafts={drafts} rules={rules} onChange={setDrafts} />
        <Choices legend={told.over} name="more" chosen={String(more)} options={MORE.map((count) => [String(count), told.more(count, where.rigName)])} onChoose={(count) => setMore(Number(count))} />
        <p className="alarm__failure" role="alert">
          {failure}
        </p>
        <button type="submit" className="action" data-testid="rejudge-do" disabled={isRunning}>
          {isRunning ? told.running : told.do}
        </button>
      </form>
      {outcome ? (
        <>
          <SideBySide rejudged={outcome.rejudged} rules={rules} shift={shift} where={where} />
          <ProposeForm key={JSON.stringify(outcome.alarms)} site={shift.site} {...outcome} />
        </>
      ) : null}
      <p className="soft">{told.duty}</p>
    </section>
  );
}

import { type FormEvent, useEffect, useState } from 'react';
import { POINT_KINDS } from '../../../domain/points/catalogue.ts';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { callApi } from '../../api/call-api.ts';
import { idempotencyKey } from '../../api/idempotency-key.ts';
import type { Calibration, CrewMember, Shift } from '../../api/shift-shapes.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { Choices } from '../../ui/Choices.tsx';
import { shiftHref } from '../shift-route.ts';
import { Rows } from './Rows.tsx';
import { EMPTY_DRAFT, draftFromBuilt, draftOf, fillDraft, readDraft } from './setup-draft.ts';
import { SetupFields } from './SetupFields.tsx';
import { useLastShift } from './use-last-shift.ts';

export interface StartShiftProps {
  readonly site: LiveSite;
  /** The rig it was asked for, where it was. */
  readonly rigId: string | null;
}

/** Only the rig has to be said; the rest stands there as the last shift or the configuration had it, to be looked over. */
export function StartShift({ site, rigId }: StartShiftProps) {
  const { desk, words } = useSeat();
  const { units } = useStore(desk.preferences);
  const told = words.shifts.startForm;
  const free = site.rigs.filter((rig) => rig.shift === null);
  const [rig, setRig] = useState(free.find((one) => one.id === rigId)?.id ?? (free.length === 1 ? (free[0]?.id ?? '') : ''));
  const [crew, setCrew] = useState<readonly CrewMember[]>([]);
  const [draft, setDraft] = useState(EMPTY_DRAFT);
  const [calibrations, setCalibrations] = useState<readonly Calibration[]>([]);
  const [isDrill, setDrill] = useState(false);
  const [isSending, setSending] = useState(false);
  const [failure, setFailure] = useState('');
  const [key] = useState(idempotencyKey);
  const last = useLastShift(site.id, rig);
  const built = site.rigs.find((one) => one.id === rig)?.built ?? '';
  useEffect(() => {
    // What somebody chose another rig for is filled in anew; while the last shift is sought, nothing is.
    if (rig === '' || last === undefined) return;
    setDraft(fillDraft(last ? { ...draftOf(last.setup, units), notes: '' } : EMPTY_DRAFT, draftFromBuilt(built)));
    setCrew(last?.crew ?? []);
    setCalibrations(last?.calibrations ?? []);
    // Units chosen later must not undo what was typed.
  }, [rig, last, built]);
  const points = POINT_KINDS.filter((kind) => kind.origin === 'measured' && kind.owner === 'rig').map((kind) => [kind.id, words.told(kind.label)] as const);
  const start = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (rig === '') return setFailure(told.needRig);
    const read = readDraft(draft, units, last?.setup);
    if ('wrong' in read) return setFailure(told.wrong(words.shifts.setup[read.wrong], told.examples[read.wrong]));
    setSending(true);
    const body = {
      rig,
      crew: crew.filter((one) => one.name.trim() !== '').map((one) => ({ name: one.name.trim(), job: one.job.trim() })),
      setup: read.setup,
      calibrations: calibrations.filter((one) => one.point !== ''),
      ...(isDrill ? { drill: true } : {}),
    };
    const answer = await callApi<Shift>('/api/shifts', { method: 'POST', body, key });
    setSending(false);
    if (answer.ok) location.hash = shiftHref(answer.body.id);
    else setFailure(answer.status === 0 ? words.alarms.failedUnreachable : `${words.alarms.failed} ${words.problem(answer.detail)}`.trim());
  };
  if (free.length === 0) {
    return (
      <div className="start" data-testid="none-free">
        <p>{told.noneFree}</p>
        <div className="shift-orders__row">
          {site.rigs.map((one) =>
            one.shift ? (
              <a key={one.id} className="action action--link" data-testid={`running-${one.id}`} href={shiftHref(one.shift.id)}>
                {told.toRunning(one.name)}
              </a>
            ) : null,
          )}
        </div>
      </div>
    );
  }
  return (
    <form className="start" data-testid="start-shift" noValidate onSubmit={(event) => void start(event)}>
      <Choices legend={told.rig} name="rig" chosen={rig} options={free.map((one) => [one.id, one.name])} onChoose={setRig} />
      <p className="soft start__from">{rig === '' ? told.onlyRig : last === undefined ? words.shifts.loading : last ? told.fromLast : told.fromConfig}</p>
      {rig === '' ? null : (
        <>
          <Rows
            legend={told.crew}
            testId="crew"
            more={told.crewMore}
            fields={[
              { name: 'name', label: told.crewName },
              { name: 'job', label: told.crewJob, options: told.jobs.map((job) => [job, job] as const) },
            ]}
            rows={crew}
            onChange={setCrew}
          />
          <SetupFields draft={draft} onChange={setDraft} />
          <Rows
            legend={told.calibrations}
            testId="calibrations"
            more={told.calibrationMore}
            fields={[
              { name: 'point', label: told.sensor, options: points },
              { name: 'certificate', label: told.certificate },
              { name: 'done', label: told.done, type: 'date' },
              { name: 'due', label: told.due, type: 'date' },
            ]}
            rows={calibrations}
            onChange={setCalibrations}
          />
        </>
      )}
      <Choices legend={told.kind} name="kind" chosen={isDrill ? 'drill' : 'work'} options={[['work', told.work], ['drill', words.shifts.drill]]} onChoose={(kind) => setDrill(kind === 'drill')} />
      <p className="alarm__failure" role="alert">
        {failure}
      </p>
      <button type="submit" className="action start__do" data-testid="start-do" disabled={isSending}>
        {isSending ? words.alarms.sending : told.do(site.rigs.find((one) => one.id === rig)?.name ?? '')}
      </button>
      <p className="soft">{told.duty}</p>
    </form>
  );
}

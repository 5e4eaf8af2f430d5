import { type FormEvent, useId, useState } from 'react';
import { mayChangeSettings } from '../../api/session.ts';
import { makeFirstSite } from '../../api/settings.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useStore } from '../../hooks/use-store.ts';
import { routeHref } from '../../page/route.ts';
import { Choices } from '../../ui/Choices.tsx';
import { ZonePicker } from '../FileSections.tsx';
import { DemonstrationPanel } from './demonstration/DemonstrationPanel.tsx';
import { type FirstDraft, type FirstField, firstDocument, firstProblems, idOf } from './first-document.ts';
import { Steps } from './FirstSteps.tsx';
import '../settings.css';

const SITE_FIELDS: readonly FirstField[] = ['siteName', 'siteId', 'zone', 'elevation', 'law'];

/** An empty Potside: site and rig are asked here; points and people follow on their own screens once it listens. */
export function FirstRun() {
  const { desk, words, session } = useSeat();
  const told = words.settingsScreen.first;
  const preferences = useStore(desk.preferences);
  const [step, setStep] = useState<'site' | 'rig'>('site');
  const [draft, setDraft] = useState<FirstDraft>(START);
  const [isAsked, setAsked] = useState(false);
  const [state, setState] = useState<'asking' | 'making' | { readonly failure: string }>('asking');
  if (!mayChangeSettings(session.role)) return <p className="sheet__empty">{told.notYet}</p>;
  const problems = firstProblems(draft);
  const set = (field: FirstField, text: string): void => setDraft((was) => ({ ...was, [field]: text, ...(field === 'siteName' && was.siteId === idOf(was.siteName) ? { siteId: idOf(text) } : {}) }));
  const field = (name: FirstField, label: string, example: string, isNeeded = false) => <Field name={name} label={label} example={example} isNeeded={isNeeded} value={draft[name]} problem={isAsked || draft[name] !== '' ? (problems.get(name) ?? null) : null} onChange={(text) => set(name, text)} />;
  const next = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    const mine = [...problems.keys()].filter((name) => SITE_FIELDS.includes(name) === (step === 'site'));
    setAsked(mine.length > 0);
    if (mine.length > 0) return;
    if (step === 'site') return setStep('rig');
    setState('making');
    const answer = await makeFirstSite(firstDocument(draft));
    if (!answer.ok) return setState({ failure: words.problem(answer.detail) || words.settingsScreen.unreachable });
    // From here on the site is there: the same address is its points.
    window.location.hash = routeHref('settings', { first: '1' }, ['points']);
  };
  return (
    <main className="sheet first" data-testid="first-run">
      <h2>{told.title}</h2>
      <p className="soft">{told.lead}</p>
      <Steps at={step === 'site' ? 0 : 1} />
      <form className="first__form" noValidate onSubmit={(event) => void next(event)}>
        {step === 'site' ? (
          <>
            {field('siteName', told.siteName, 'Quay 4 gates', true)}
            {field('siteId', told.siteId, 'quay-4', true)}
            <ZonePicker value={draft.zone} wrong={problems.get('zone') ?? null} onPick={(zone) => set('zone', zone)} />
            {field('elevation', told.elevation, '180m, 600ft')}
            <Choices legend={told.law} name="law" chosen={draft.law} options={(['US', 'EN'] as const).map((one) => [one, words.settingsScreen.choices[one] ?? one])} onChoose={(law) => set('law', law)} />
            <Choices legend={told.units} name="first-units" chosen={preferences.units} options={(['us', 'si'] as const).map((one) => [one, words.settings[one]])} onChoose={(units) => desk.preferences.set({ ...preferences, units: units as 'us' | 'si' })} />
          </>
        ) : (
          <>
            <p className="first__wide soft">{told.optional}</p>
            {field('rigName', told.rigName, 'Rig A', true)}
            {field('vessel', told.vessel, '125psi, 8.6bar')}
            {field('hoseBore', told.hoseBore, '1-1/4in, 32mm')}
            {field('hoseLength', told.hoseLength, '100ft, 30m')}
            {field('nozzle', told.nozzle, '7/16in, 11mm')}
            {field('wanted', told.wanted, '90psi..105psi')}
            {field('respirator', told.respirator, '50psi..75psi')}
            {field('compressor', told.compressor, '750cfm, 21m3/min')}
            {field('compressorPressure', told.compressorPressure, '125psi, 8.6bar')}
          </>
        )}
        <p className="first__failure" role="alert">
          {typeof state === 'object' ? state.failure : state === 'making' ? told.making : ''}
        </p>
        <div className="first__keys">
          {step === 'rig' ? (
            <button type="button" className="action action--quiet" onClick={() => setStep('site')}>
              {told.back}
            </button>
          ) : null}
          <button type="submit" className="action" data-testid="first-next" disabled={state === 'making'}>
            {step === 'site' ? told.next : told.make}
          </button>
        </div>
      </form>
      <DemonstrationPanel />
    </main>
  );
}

const START: FirstDraft = { siteName: '', siteId: '', zone: Intl.DateTimeFormat().resolvedOptions().timeZone, elevation: '', law: 'US', rigName: 'Rig A', vessel: '', hoseBore: '', hoseLength: '', nozzle: '', wanted: '', respirator: '', compressor: '', compressorPressure: '' };

interface FieldProps {
  readonly name: FirstField;
  readonly label: string;
  readonly example: string;
  readonly isNeeded: boolean;
  readonly value: string;
  readonly problem: string | null;
  readonly onChange: (text: string) => void;
}

function Field({ name, label, example, isNeeded, value, problem, onChange }: FieldProps) {
  const { words } = useSeat();
  const own = useId();
  return (
    <div className="leaf">
      <label className="leaf__label" htmlFor={own}>
        {label}
        {isNeeded ? <span className="leaf__needed"> {words.settingsScreen.needed}</span> : null}
      </label>
      <input id={own} data-testid={`first-${name}`} value={value} placeholder={example} autoComplete="off" spellCheck={false} aria-invalid={problem !== null || undefined} aria-describedby={`${own}-more`} onChange={(event) => onChange(event.target.value)} />
      <p className="leaf__more" id={`${own}-more`} data-wrong={problem !== null || undefined}>
        {problem ?? ''}
      </p>
    </div>
  );
}

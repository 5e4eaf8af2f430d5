import { type FormEvent, useState } from 'react';
import type { LiveSite } from '../../../domain/wire/live.ts';
import { callApi } from '../../api/call-api.ts';
import { type Person, type Plan, readList } from '../../api/people.ts';
import { ROLES } from '../../api/session.ts';
import { useSeat } from '../../hooks/desk-context.ts';
import { useAnswer } from '../../hooks/use-answer.ts';
import { Failure, Fetched, Panel, Text } from '../parts.tsx';
import { useRequest } from '../use-request.ts';
import { RotaFields } from './RotaFields.tsx';
import { StepFields } from './StepFields.tsx';
import { type PlanDraft, TOLD, draftOf, writeDraft } from './plan-draft.ts';

interface HeldSettings {
  readonly version: string;
  readonly document: Readonly<Record<string, unknown>> | null;
}

export interface EditPlanProps {
  readonly site: LiveSite;
  readonly plan: Plan | null;
  readonly onDone: () => void;
  readonly onCancel: () => void;
}

/** Plans and rotas, written into the site's configuration. */
export function EditPlan(props: EditPlanProps) {
  const { site } = props;
  const settings = useAnswer(`settings ${site.id}`, () => callApi<HeldSettings>(`/api/sites/${encodeURIComponent(site.id)}/settings`));
  return <Fetched asked={settings}>{({ version, document }) => <PlanForm {...props} version={version} document={document ?? {}} />}</Fetched>;
}

function PlanForm({ site, plan, onDone, onCancel, version, document }: EditPlanProps & { readonly version: string; readonly document: Readonly<Record<string, unknown>> }) {
  const { words } = useSeat();
  const told = words.people.messages;
  const people = useAnswer('people', () => readList<Person>('/api/people'));
  const { isSending, failure, fail, send } = useRequest();
  const [draft, setDraft] = useState<PlanDraft>(() => draftOf(plan));
  const [why, setWhy] = useState('');
  const options = [
    ...ROLES.map((role) => ({ id: `role:${role}`, label: told.kinds.role(words.roles[role]) })),
    ...draft.rotas.filter(({ name }) => name !== '').map(({ name }) => ({ id: `rota:${name}`, label: told.kinds.rota(name) })),
    ...(plan?.webhooks ?? []).map((id) => ({ id: `webhook:${id}`, label: told.kinds.webhook(id) })),
    ...(people.body?.items ?? []).map(({ name }) => ({ id: `person:${name}`, label: name })),
  ];
  const submit = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (TOLD.some((priority) => draft.plans[priority].some(({ to }) => to.length === 0))) return fail(told.noTo);
    if (why.trim() === '') return fail(told.noWhy);
    const { ok } = await send(`/api/sites/${encodeURIComponent(site.id)}/settings`, { method: 'PUT', body: { version, why: why.trim(), document: writeDraft(document, draft) } });
    if (ok) onDone();
  };
  return (
    <Panel title={told.change} testId="plan-form">
      <form className="panel__form panel__form--wide" noValidate onSubmit={(event) => void submit(event)}>
        <p className="panel__rule">
          {told.changeMore} {told.examples}
        </p>
        {TOLD.map((priority) => (
          <StepFields key={priority} priority={priority} steps={draft.plans[priority]} options={options} onChange={(steps) => setDraft({ ...draft, plans: { ...draft.plans, [priority]: steps } })} />
        ))}
        <RotaFields rotas={draft.rotas} names={(people.body?.items ?? []).map(({ name }) => name)} onChange={(rotas) => setDraft({ ...draft, rotas })} />
        <div className="panel__pair">
          <Text label={told.lastWaitField} maxLength={10} value={draft.lastWait} onChange={(lastWait) => setDraft({ ...draft, lastWait })} />
          <Text label={told.repeatField} maxLength={10} value={draft.repeat} onChange={(repeat) => setDraft({ ...draft, repeat })} />
        </div>
        <Text label={told.why} maxLength={1000} value={why} onChange={setWhy} />
        <Failure text={failure} />
        <div className="panel__keys">
          <button type="submit" className="action" data-testid="plan-save" disabled={isSending}>
            {words.people.save}
          </button>
          <button type="button" className="action action--quiet" onClick={onCancel}>
            {words.people.cancel}
          </button>
        </div>
      </form>
    </Panel>
  );
}

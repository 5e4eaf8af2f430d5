import type { AlarmPriority } from '../../../domain/alarms/alarm.ts';
import type { Plan } from '../../api/people.ts';
import { clockOfMinutes } from '../minutes.ts';
import { durationText, writtenDays } from './plan-words.ts';

/** Plans as they are written in the configuration, while somebody changes them. */
export interface PlanDraft {
  readonly plans: Readonly<Record<Told, readonly StepDraft[]>>;
  readonly rotas: readonly { readonly name: string; readonly turns: readonly TurnDraft[] }[];
  readonly lastWait: string;
  readonly repeat: string;
}

export interface StepDraft {
  readonly after: string;
  /** `role:tender`, `rota:on-call`, … */
  readonly to: readonly string[];
}

export interface TurnDraft {
  readonly who: string;
  readonly days: string;
  readonly from: string;
  readonly to: string;
}

/** Low priority is told on screens only. */
export const TOLD = ['critical', 'high', 'medium'] as const satisfies readonly AlarmPriority[];
export type Told = (typeof TOLD)[number];

const USUAL: Pick<PlanDraft, 'lastWait' | 'repeat'> = { lastWait: '30s', repeat: '2min' };

export function draftOf(plan: Plan | null): PlanDraft {
  const stepsOf = (priority: Told): StepDraft[] => (plan?.plans.find((one) => one.priority === priority)?.steps ?? []).map(({ afterMs, to }) => ({ after: durationText(afterMs), to: to.map(({ kind, id }) => `${kind}:${id}`) }));
  return {
    plans: { critical: stepsOf('critical'), high: stepsOf('high'), medium: stepsOf('medium') },
    rotas: (plan?.rotas ?? []).map(({ name, turns }) => ({ name, turns: turns.map(({ who, days, fromMin, toMin }) => ({ who, days: writtenDays(days), from: clockOfMinutes(fromMin), to: clockOfMinutes(toMin) })) })),
    ...(plan ? { lastWait: durationText(plan.lastWaitMs), repeat: plan.repeatMs === null ? '0s' : durationText(plan.repeatMs) } : USUAL),
  };
}

/** The document with the draft in it; whatever else stands under `notify` stays: mail relay, webhooks, seals. */
export function writeDraft(document: Readonly<Record<string, unknown>>, draft: PlanDraft): Record<string, unknown> {
  const notify = (document['notify'] ?? {}) as Record<string, unknown>;
  const plans = Object.fromEntries(TOLD.filter((priority) => draft.plans[priority].length > 0).map((priority) => [priority, draft.plans[priority]]));
  const rotas = Object.fromEntries(draft.rotas.filter(({ name, turns }) => name !== '' && turns.length > 0).map(({ name, turns }) => [name, turns]));
  const { rotas: _rotas, ...kept } = notify;
  return { ...document, notify: { ...kept, plans, ...(Object.keys(rotas).length > 0 ? { rotas } : {}), 'last-wait': draft.lastWait, repeat: draft.repeat } };
}

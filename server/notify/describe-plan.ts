import type { AlarmPriority } from '../../domain/alarms/alarm.ts';
import { PRIORITIES } from '../../domain/alarms/alarm.ts';
import type { NotifyConfig, Recipient, RotaTurn } from '../../domain/shift/server-config.ts';
import type { Contacts } from './contacts.ts';
import type { ChannelName } from './notice-store.ts';
import { isQuiet, type LocalTime, type Reachable, whoIsTold } from './who-is-told.ts';

/** Whom a site's plans reach now, and how. No addresses. */
export interface DescribedPlan {
  readonly channels: readonly ChannelName[];
  readonly webhooks: readonly string[];
  readonly plans: readonly { readonly priority: AlarmPriority; readonly steps: readonly { readonly afterMs: number; readonly to: readonly Recipient[]; /** Who that is at this time. */ readonly now: readonly string[] }[] }[];
  readonly rotas: readonly { readonly name: string; readonly turns: readonly RotaTurn[]; readonly now: readonly string[] }[];
  readonly lastWaitMs: number;
  readonly repeatMs: number | null;
  /** Everybody whom a step names now. */
  readonly people: readonly { readonly name: string; readonly role: string; readonly ways: readonly ChannelName[]; readonly isQuiet: boolean }[];
}

/** A site's plans as people read them: each step with whom it means at this time, and by what ways each of them can be reached. */
export async function describePlan(notify: NotifyConfig, people: readonly Reachable[], contacts: Pick<Contacts, 'of' | 'subscriptions'>, local: LocalTime): Promise<DescribedPlan> {
  const told = (to: readonly Recipient[]): readonly string[] => whoIsTold(to, people, notify.rotas, local).people;
  const plans = PRIORITIES.map((priority) => ({ priority, steps: (notify.plans[priority] ?? []).map(({ afterMs, to }) => ({ afterMs, to, now: told(to) })) })).filter(({ steps }) => steps.length > 0);
  const named = new Set(plans.flatMap(({ steps }) => steps.flatMap(({ now }) => now)));
  return {
    channels: ['push', ...(notify.smtp ? ['email' as const] : []), ...(notify.webhooks.length > 0 ? ['webhook' as const] : [])],
    webhooks: notify.webhooks.map(({ id }) => id),
    plans,
    rotas: Object.entries(notify.rotas).map(([name, turns]) => ({ name, turns, now: told([{ kind: 'rota', id: name }]) })),
    lastWaitMs: notify.lastWaitMs,
    repeatMs: notify.repeatMs,
    people: await Promise.all(people.filter(({ name }) => named.has(name)).map(async ({ name, role }) => {
      const contact = await contacts.of(name);
      const ways: ChannelName[] = [...((await contacts.subscriptions(name)).length > 0 ? ['push' as const] : []), ...(contact.email !== null && notify.smtp ? ['email' as const] : [])];
      return { name, role, ways, isQuiet: isQuiet(contact, local) };
    })),
  };
}

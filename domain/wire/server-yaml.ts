import { z } from 'zod';
import { PRIORITIES } from '../alarms/alarm.ts';
import type { EscalationStep, NotifyConfig, OpenIdConfig, Recipient, RotaTurn } from '../shift/server-config.ts';
import { quantity } from './yaml-quantity.ts';

/** The parts of `site.yaml` about people: who is told of alarms, and signing in through a company. */

const duration = quantity('time', 'ms', 0, 86_400_000);
const id = z.string().regex(/^[a-z0-9][a-z0-9-]{0,31}$/, 'expected 1 to 32 of a-z, 0-9 and -');
/** The roles of `server/access/role.ts`; a test compares them. */
export const WRITTEN_ROLES = ['viewer', 'tender', 'supervisor', 'safety-officer', 'manager', 'administrator'] as const;

const httpsUrl = z.string().regex(/^https:\/\/[^\s@]+$/, 'expected https:// and a host, without a name or password in it');

/** Where people reach the page: in links, and for the way back from a company's sign-in. */
export const pageSchema = z.string().regex(/^https?:\/\/[^\s/@?#]+$/, 'expected https:// and a host, nothing behind it').describe('the address at which people reach the page; links in messages lead there');

export const openIdSchema = z.strictObject({
  // A provider on this machine may do without TLS: that is for tests.
  issuer: z.string().regex(/^(https:\/\/[^\s@]+|http:\/\/(127\.0\.0\.1|localhost)(:\d+)?\S*)$/, 'expected https:// and a host'),
  'client-id': z.string().min(1).max(200),
  'client-secret-file': z.string().optional(),
  name: z.string().trim().min(1).max(60).describe('what the button on the sign-in page says'),
  claim: z.string().min(1).max(100).default('groups').describe('the claim that holds a person’s groups'),
  groups: z.array(z.strictObject({ group: z.string().min(1).max(200), role: z.enum(WRITTEN_ROLES), sites: z.array(id).min(1).optional() })).min(1, 'expected at least one group: who is in none is refused'),
});

const recipient = z.string().transform((written, context): Recipient => {
  const match = /^(person|role|rota|webhook):(.{1,64})$/.exec(written);
  if (match?.[1] === 'role' && !(WRITTEN_ROLES as readonly string[]).includes(match[2] ?? '')) {
    context.addIssue({ code: 'custom', message: `expected a role: ${WRITTEN_ROLES.join(', ')}` });
    return z.NEVER;
  }
  if (match) return { kind: match[1] as Recipient['kind'], id: match[2] ?? '' };
  context.addIssue({ code: 'custom', message: 'expected person:NAME, role:ROLE, rota:ID or webhook:ID' });
  return z.NEVER;
});

const steps = z
  .array(z.strictObject({ after: duration, to: z.array(recipient).min(1, 'expected at least one recipient') }))
  .min(1)
  .max(10)
  .transform((written): EscalationStep[] => written.map(({ after, to }) => ({ afterMs: after, to })))
  .refine((all) => all.every((step, index) => index === 0 || step.afterMs > (all[index - 1]?.afterMs ?? 0)), 'each step must come after the one before it');

const DAYS = ['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'] as const;
const days = z.string().transform((written, context): number[] => {
  const [first, last] = written.split('-').map((day) => DAYS.indexOf(day as (typeof DAYS)[number]) + 1);
  if (written === 'daily') return [1, 2, 3, 4, 5, 6, 7];
  if (first && !written.includes('-')) return [first];
  if (first && last && first <= last) return Array.from({ length: last - first + 1 }, (_, at) => first + at);
  context.addIssue({ code: 'custom', message: 'expected daily, a day as mon, or days as mon-fri' });
  return z.NEVER;
});
const timeOfDay = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'expected a time as "06:30", in quotes').transform((written) => Number(written.slice(0, 2)) * 60 + Number(written.slice(3)));
const turn = z.strictObject({ who: z.string().min(1).max(64), days: days.default([1, 2, 3, 4, 5, 6, 7]), from: timeOfDay, to: timeOfDay }).transform(({ who, days: on, from, to }): RotaTurn => ({ who, days: on, fromMin: from, toMin: to }));

export const notifySchema = z.strictObject({
  smtp: z
    .strictObject({
      host: z.string().min(1).max(253),
      port: z.number().int().min(1).max(65_535).default(587),
      security: z.enum(['tls', 'starttls', 'none']).default('starttls'),
      username: z.string().optional(),
      'password-file': z.string().optional(),
      from: z.email(),
    })
    .optional(),
  webhooks: z.array(z.strictObject({ id, url: httpsUrl, 'secret-file': z.string() })).max(20).default([]),
  'own-hosts': z.array(z.string().min(1).max(253)).max(50).default([]).describe('hosts in the site’s own network that webhooks and push may reach'),
  'ca-file': z.string().optional().describe('authority to trust besides the usual ones, for hosts of your own'),
  rotas: z.record(id, z.array(turn).min(1)).default({}),
  plans: z.partialRecord(z.enum(['critical', 'high', 'medium', 'low']), steps).optional(),
  'last-wait': duration.default(30_000).describe('after the last step, until it counts as told to nobody'),
  seals: z.array(recipient).max(50).optional().describe('who gets the root of a shift when it is sealed, by e-mail or webhook; left out: role:safety-officer, role:manager and every webhook; []: nobody'),
  repeat: duration.default(120_000).describe('the plan begins anew so long after its last step, until somebody acknowledges; 0s: never'),
});

const role = (name: string): Recipient => ({ kind: 'role', id: name });
const USUAL_PLANS: NotifyConfig['plans'] = {
  critical: [
    { afterMs: 0, to: [role('tender'), role('supervisor'), role('safety-officer')] },
    { afterMs: 60_000, to: [role('manager')] },
  ],
  high: [
    { afterMs: 0, to: [role('supervisor'), role('safety-officer')] },
    { afterMs: 120_000, to: [role('manager')] },
  ],
  medium: [{ afterMs: 0, to: [role('supervisor')] }],
};

export function toNotify(written: z.output<typeof notifySchema>): { config: NotifyConfig; unknown: { path: (string | number)[]; message: string }[] } {
  const { smtp, rotas } = written;
  const plans = written.plans ?? USUAL_PLANS;
  const unknownOf = (recipients: readonly Recipient[], path: (string | number)[]): { path: (string | number)[]; message: string }[] =>
    recipients.flatMap((to, place) => {
      const isThere = to.kind === 'rota' ? to.id in rotas : to.kind === 'webhook' ? written.webhooks.some((hook) => hook.id === to.id) : true;
      return isThere ? [] : [{ path: [...path, place], message: `there is no ${to.kind} ${JSON.stringify(to.id)}` }];
    });
  const unknown = [
    ...PRIORITIES.flatMap((priority) => (plans[priority] ?? []).flatMap((step, index) => unknownOf(step.to, ['plans', priority, index, 'to']))),
    ...unknownOf(written.seals ?? [], ['seals']),
  ];
  return {
    unknown,
    config: {
      smtp: smtp ? { host: smtp.host, port: smtp.port, security: smtp.security, username: smtp.username ?? null, passwordFile: smtp['password-file'] ?? null, from: smtp.from } : null,
      webhooks: written.webhooks.map((hook) => ({ id: hook.id, url: hook.url, secretFile: hook['secret-file'] })),
      plans: plans,
      lastWaitMs: written['last-wait'],
      repeatMs: written.repeat === 0 ? null : written.repeat,
      rotas,
      ...(written.seals ? { seals: written.seals } : {}),
      ownHosts: written['own-hosts'],
      caFile: written['ca-file'] ?? null,
    },
  };
}

export function toOpenId(written: z.output<typeof openIdSchema>): OpenIdConfig {
  return {
    issuer: written.issuer,
    clientId: written['client-id'],
    clientSecretFile: written['client-secret-file'] ?? null,
    name: written.name,
    claim: written.claim,
    groups: written.groups.map(({ group, role: to, sites }) => ({ group, role: to, sites: sites ?? null })),
  };
}

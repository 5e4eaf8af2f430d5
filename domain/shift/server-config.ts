import type { AlarmPriority } from '../alarms/alarm.ts';

/** Sign-in through a company's OpenID Connect provider. */
export interface OpenIdConfig {
  readonly issuer: string;
  readonly clientId: string;
  /** Null for a public client, which has none. */
  readonly clientSecretFile: string | null;
  /** What the button on the sign-in page says. */
  readonly name: string;
  /** The claim that holds a person's groups. */
  readonly claim: string;
  /** Group → role and sites; who is in none of them is refused. The first that fits counts. */
  readonly groups: readonly { readonly group: string; readonly role: string; readonly sites: readonly string[] | null }[];
}

/** Whom a step tells: a person by name, all of a role, who is on a rota, or a program. */
export type Recipient =
  | { readonly kind: 'person' | 'rota' | 'webhook'; readonly id: string }
  | { readonly kind: 'role'; readonly id: string };

export interface EscalationStep {
  /** Ms after the alarm was raised. */
  readonly afterMs: number;
  readonly to: readonly Recipient[];
}

export interface RotaTurn {
  readonly who: string;
  /** 1 Monday to 7 Sunday. */
  readonly days: readonly number[];
  /** Minutes after local midnight; a turn whose end is not after its beginning runs past midnight. */
  readonly fromMin: number;
  readonly toMin: number;
}

export interface WebhookConfig {
  readonly id: string;
  readonly url: string;
  /** Holds the secret of the Standard Webhooks, `whsec_…`. */
  readonly secretFile: string;
}

export interface SmtpConfig {
  readonly host: string;
  readonly port: number;
  /** `tls` from the first byte, `starttls` or no mail at all, `none` for a relay on this machine. */
  readonly security: 'tls' | 'starttls' | 'none';
  readonly username: string | null;
  readonly passwordFile: string | null;
  readonly from: string;
}

/** Who is told of an alarm, how, and when it is passed on. */
export interface NotifyConfig {
  readonly smtp: SmtpConfig | null;
  readonly webhooks: readonly WebhookConfig[];
  /** By priority; a priority without steps is told on screens only. */
  readonly plans: Readonly<Partial<Record<AlarmPriority, readonly EscalationStep[]>>>;
  /** After the last step: so long until it counts as told to nobody. */
  readonly lastWaitMs: number;
  /** The whole plan begins anew so long after its last step, until somebody acknowledges; null: never. */
  readonly repeatMs: number | null;
  readonly rotas: Readonly<Record<string, readonly RotaTurn[]>>;
  /** Who gets the root of a shift when it is sealed; left out: safety officers, managers and every webhook. */
  readonly seals?: readonly Recipient[];
  /** Hosts that may be reached although they are in the site's own network. */
  readonly ownHosts: readonly string[];
  /** PEM file with the authority to trust besides the usual ones. */
  readonly caFile: string | null;
}

import type { FastifyInstance, FastifyRequest, RawServerDefault } from 'fastify';
import type { IncomingMessage, ServerResponse } from 'node:http';
import type { FastifyBaseLogger } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import type { GatewayReport } from '../../domain/wire/gateway-report.ts';
import type { Refusal } from '../../domain/wire/refusal.ts';
import type { UplinkAck, UplinkBatch } from '../../domain/wire/uplink.ts';
import type { Clock } from '../../host/clock.ts';
import type { Accounts } from '../access/accounts.ts';
import type { FirstAdministrator } from '../access/first-administrator.ts';
import type { CookieNames } from '../access/identify.ts';
import type { Doer, Identity } from '../access/identity.ts';
import { may, type Permission } from '../access/role.ts';
import type { OpenId } from '../access/open-id.ts';
import type { SignIn } from '../access/sign-in.ts';
import type { GatewayReports, HeardReport } from '../intake/gateway-reports.ts';
import type { Demonstration } from '../demonstration/demonstration.ts';
import type { DrillRunner } from '../drills/drill-runner.ts';
import type { Exporter } from '../export/exporter.ts';
import type { ShiftCloser } from '../export/shift-closer.ts';
import type { Site } from '../intake/site.ts';
import type { LiveHub } from '../live/live-hub.ts';
import type { Settings } from '../settings/settings.ts';
import type { Notify } from '../notify/start-notify.ts';
import type { Store } from '../record/store.ts';
import { notAllowed, notSignedIn } from './problem-error.ts';

/** What routes work with. */
export interface ApiContext {
  readonly accounts: Accounts;
  readonly signIn: SignIn;
  readonly firstAdministrator: FirstAdministrator;
  /** Null where no company's sign-in is configured. */
  readonly openId: OpenId | null;
  readonly notify: Pick<Notify, 'notices' | 'contacts' | 'publicKey' | 'test' | 'untold'>;
  readonly clock: Clock;
  readonly store: Store;
  /** The sites of whoever asks, described. */
  readonly hub: Pick<LiveHub, 'sites'>;
  /** The sites of whoever asks: nothing outside of a request, and no foreign site within one. */
  readonly writers: ReadonlyMap<string, Site>;
  /** True while every site is recorded, whoever asks. */
  readonly isRecording: () => boolean;
  /** How many sites are set up, whoever asks. */
  readonly sitesConfigured: () => number;
  /** Messages the gateway set aside; null where the gateway is elsewhere. */
  readonly refusals: () => { readonly latest: readonly Refusal[]; readonly counts: Readonly<Record<string, number>> } | null;
  readonly gatewayStatus: () => { readonly connected: boolean; readonly waiting: number; readonly messages: number } | null;
  /** The gateway in this process hears topics that nobody mapped for a while; absent where it is elsewhere. */
  readonly lookAround?: (site: string) => void;
  readonly gateways: Pick<GatewayReports, 'of'>;
  /** What a site's gateway told last of itself, whichever server it told. */
  readonly heard: (site: string) => Promise<HeardReport | null>;
  readonly noteReport: (site: string, report: GatewayReport) => Promise<void>;
  /** The way in for gateways; resolves after the commit. */
  readonly deliver: (batch: UplinkBatch) => Promise<UplinkAck>;
  /** Plays drills on training sites; null where nothing does. */
  readonly drills: DrillRunner | null;
  readonly pagesConnected: () => number;
  /** Every site of this process is made up. */
  readonly isDemo: boolean;
  readonly cookies: CookieNames;
  /** Null where a site is set up: then the demonstration is started by hand. */
  readonly demonstration: Demonstration | null;
  readonly version: string;
  readonly dataDir: string;
  readonly settings: Settings;
  readonly exporter: Exporter;
  readonly closer: ShiftCloser;
}

export type Api = FastifyInstance<RawServerDefault, IncomingMessage, ServerResponse, FastifyBaseLogger, ZodTypeProvider>;

/** What a route asks of who calls it; `anyone`: not even to be signed in. Each route names one, or the server does not start. */
export type RoutePermission = Permission | 'anyone';

declare module 'fastify' {
  interface FastifyRequest {
    identity: Identity | null;
  }
  interface FastifyContextConfig {
    permission?: RoutePermission;
  }
}

/** The signed-in person, who may do this. @throws ProblemError 401 or 403 */
export function need(request: FastifyRequest, permission: Permission): Identity {
  if (!request.identity) throw notSignedIn();
  if (!may(request.identity.role, permission)) throw notAllowed(permission.replaceAll('-', ' '));
  return request.identity;
}

/** Whoever asks, as the audit trail names them. */
export function doerOf(request: FastifyRequest): Doer {
  return { by: request.identity?.name ?? 'unknown', role: request.identity?.role ?? '', address: request.ip };
}

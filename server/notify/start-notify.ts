import { readFileSync } from 'node:fs';
import { newId } from '../access/secret.ts';
import type { Accounts } from '../access/accounts.ts';
import type { Doer } from '../access/identity.ts';
import { reaches } from '../access/reach.ts';
import type { Language } from '../../domain/shift/language.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import { UserError } from '../../host/user-error.ts';
import type { Store } from '../record/store.ts';
import type { Site } from '../intake/site.ts';
import type { Channel } from './channel.ts';
import { Contacts } from './contacts.ts';
import { Dispatcher } from './dispatcher.ts';
import { emailChannel } from './email-channel.ts';
import { testMessage } from './messages.ts';
import { type ChannelName, NoticeStore } from './notice-store.ts';
import { pushChannel } from './push-channel.ts';
import { pushKeys } from './push-keys.ts';
import { webhookChannel } from './webhook-channel.ts';
import { localTime, whoIsTold } from './who-is-told.ts';

const TEST_MS = 10_000;

export interface NotifyOptions {
  readonly accounts: Accounts;
  readonly writers: ReadonlyMap<string, Site>;
  readonly underLease: Store['underLease'];
  readonly dataDir: string;
  readonly clock: Clock;
  readonly log: Log;
}

/** What became of a test to one address. */
export interface TestResult {
  readonly person: string | null;
  readonly channel: ChannelName;
  readonly isAccepted: boolean;
  readonly detail: string;
}

export interface Notify {
  readonly notices: NoticeStore;
  readonly contacts: Contacts;
  readonly publicKey: string;
  /** Takes over the ways of telling of a site whose configuration has changed. */
  configure(site: string): void;
  wake(): void;
  untold(site: string): string | null;
  /** Sends a test to everybody on a site's plans, now; recorded in the audit trail. */
  test(site: string, doer: Doer): Promise<TestResult[]>;
  stop(): Promise<void>;
}

/** Telling people: the outbox, its worker, and each site's channels. */
export function startNotify({ accounts, writers, underLease, dataDir, clock, log }: NotifyOptions): Notify {
  const notices = new NoticeStore(accounts.base.sql);
  const contacts = new Contacts(accounts.base);
  const keys = pushKeys(dataDir);
  const channels = new Map<string, Partial<Record<ChannelName, Channel>>>();
  for (const [site, writer] of writers) channels.set(site, siteChannels(writer));
  const configure = (site: string): void => {
    const [writer, old] = [writers.get(site), channels.get(site)];
    if (writer) channels.set(site, siteChannels(writer));
    for (const channel of Object.values(old ?? {})) channel.close();
  };
  const channelOf = (site: string, channel: ChannelName): Channel | null => channels.get(site)?.[channel] ?? null;
  const dispatcher = new Dispatcher({ notices, accounts, contacts, writers, underLease, channelOf, clock, log, chance: Math.random });

  function siteChannels(writer: Site): Partial<Record<ChannelName, Channel>> {
    const { notify, page } = writer.state.config ?? {};
    if (!notify) return {};
    const { smtp, webhooks: hooks, ownHosts, caFile } = notify;
    const ca = caFile === null ? null : readFileSync(caFile, 'utf8');
    const subject = page?.startsWith('https:') ? page : `mailto:${smtp?.from ?? 'potside@localhost.invalid'}`;
    return {
      push: pushChannel({ keys, subject, contacts, ownHosts, ca }),
      ...(smtp ? { email: emailChannel(smtp, ca) } : {}),
      ...(hooks.length > 0 ? { webhook: webhookChannel({ hooks, ownHosts, ca, clock }) } : {}),
    };
  }

  const test = async (site: string, doer: Doer): Promise<TestResult[]> => {
    const config = writers.get(site)?.state.config;
    if (!config?.notify) throw new UserError('this site tells nobody: there is no notify in site.yaml');
    const atMs = clock.nowMs();
    const place = { site, siteName: config.site.name, zone: config.site.zone, language: config.site.language ?? 'en', page: config.page ?? null };
    const to = Object.values(config.notify.plans).flatMap((steps) => steps.flatMap((step) => step.to));
    const people = (await accounts.users()).filter((one) => !one.disabled && reaches(one.sites, site));
    const told = whoIsTold(to, people, config.notify.rotas, localTime(atMs, config.site.zone));
    const ways: { person: string | null; channel: ChannelName; target: string; language: Language }[] = [];
    for (const person of told.people) {
      const { email, language: chosen } = await contacts.of(person);
      const language = chosen ?? place.language;
      for (const { id } of await contacts.subscriptions(person)) ways.push({ person, channel: 'push', target: id, language });
      if (email !== null) ways.push({ person, channel: 'email', target: email, language });
    }
    ways.push(...told.webhooks.map((target) => ({ person: null, channel: 'webhook' as const, target, language: place.language })));
    const results = await Promise.all(
      ways.map(async ({ person, channel, target, language }): Promise<TestResult> => {
        const outcome = await channelOf(site, channel)?.send(target, testMessage(newId(), doer.by, atMs, place, language), TEST_MS);
        return { person, channel, isAccepted: outcome?.kind === 'accepted', detail: outcome?.detail ?? `${channel} is not set up` };
      }),
    );
    const reached = new Set(results.filter(({ isAccepted }) => isAccepted).map(({ person }) => person));
    const unreachable = told.people.filter((person) => !reached.has(person));
    await accounts.trail.add({ atMs: clock.nowMs(), ...doer, what: 'notices-tested', site, new: { results, unreachable } });
    return results;
  };

  return {
    notices,
    contacts,
    publicKey: keys.publicKey,
    configure,
    wake: () => void dispatcher.wake(),
    untold: (site) => dispatcher.untold(site),
    test,
    stop: async () => {
      await dispatcher.stop();
      for (const held of channels.values()) for (const channel of Object.values(held)) channel.close();
    },
  };
}

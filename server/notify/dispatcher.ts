import { reaches } from '../access/reach.ts';
import type { Accounts } from '../access/accounts.ts';
import type { Language } from '../../domain/shift/language.ts';
import type { NotifyConfig } from '../../domain/shift/server-config.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import { LeaseLost } from '../record/postgres/leases.ts';
import type { Store } from '../record/store.ts';
import type { Site } from '../intake/site.ts';
import type { Channel } from './channel.ts';
import type { Contacts } from './contacts.ts';
import { digestMessage, type NoticePlace, noticeMessage } from './messages.ts';
import type { AlarmNotice } from './notice.ts';
import type { OpenNotice, Delivery, NoticeStore, ChannelName } from './notice-store.ts';
import { SET_ASIDE } from '../../domain/alarms/alarm.ts';
import { SEAL_PAUSES_MS, stepSeal } from './seal-telling.ts';
import { isQuiet, localTime, whoIsTold } from './who-is-told.ts';

/** A commit wakes it; this is the guarantee that nothing is forgotten. */
const LOOK_MS = 500;
/** Pauses before the second, third… try, and at most so much more by chance. */
const PAUSES_MS = [2_000, 5_000, 15_000, 45_000];
const JITTER = 0.2;
const LONGEST_SEND_MS = 10_000;
const SHORTEST_SEND_MS = 1_000;
/** A flood is told to a person in one message this often. */
const DIGEST_MS = 30_000;
/** Each channel has its own: a slow one holds up nobody else. */
const AT_ONCE = 8;
/** Of these, seals take at most so many: an alarm finds room. */
const SEALS_AT_ONCE = 2;

export interface DispatcherOptions {
  readonly notices: NoticeStore;
  readonly accounts: Accounts;
  readonly contacts: Contacts;
  readonly writers: ReadonlyMap<string, Site>;
  /** Writes only while the site is ours. @throws LeaseLost */
  readonly underLease: Store['underLease'];
  /** A site's way to send on this channel; null where it has none. */
  readonly channelOf: (site: string, channel: ChannelName) => Channel | null;
  readonly clock: Clock;
  readonly log: Log;
  readonly chance: () => number;
}

/** Works the outbox off: begins the steps of each plan when they are due, hands messages over, and knows of whom nobody was told. */
export class Dispatcher {
  readonly #options: DispatcherOptions;
  readonly #flying = new Map<ChannelName, number>();
  readonly #inFlight = new Set<string>();
  readonly #digestAtMs = new Map<string, number>();
  readonly #sends = new Set<Promise<void>>();
  readonly #timer: NodeJS.Timeout;
  #untold: ReadonlyMap<string, string> = new Map();
  #looking: Promise<void> | null = null;
  #mustLook = false;
  /** Sites of ours whose unfinished sends have been seen to. */
  readonly #recovered = new Set<string>();
  #isStopped = false;

  constructor(options: DispatcherOptions) {
    this.#options = options;
    this.#timer = setInterval(() => void this.wake(), LOOK_MS);
    this.#timer.unref();
  }

  /** Looks at once, or once more when it is looking already; called after each commit that put a notice in. */
  wake(): Promise<void> {
    this.#mustLook = true;
    return (this.#looking ??= this.#look());
  }

  async #look(): Promise<void> {
    // Else it could be over before it is known to go on.
    await Promise.resolve();
    while (this.#mustLook && !this.#isStopped) {
      this.#mustLook = false;
      try {
        await this.#step();
      } catch (error) {
        this.#options.log.error({ err: error }, 'the outbox of notices could not be worked off; it is tried again');
      }
    }
    this.#looking = null;
  }

  /** What nobody on this site's plan was told, in words; null where somebody was told of everything. */
  untold(site: string): string | null {
    return this.#untold.get(site) ?? null;
  }

  async stop(): Promise<void> {
    this.#isStopped = true;
    clearInterval(this.#timer);
    await this.#looking;
    await Promise.allSettled(this.#sends);
  }

  async #step(): Promise<void> {
    const { notices, clock } = this.#options;
    const now = clock.nowMs();
    await this.#recover(now);
    const untold = new Map<string, string>();
    const open = await notices.open();
    for (const notice of open) {
      const place = this.#placeOf(notice.site);
      if (!place?.notify || 'seal' in notice) continue;
      const over = this.#isOver(place.writer, notice);
      if (over !== null) {
        await notices.end(notice.id, now, over);
        continue;
      }
      await this.#escalate(notice, place.notify, place, now);
      const deadline = await notices.firstDeadline(notice.id);
      if (deadline !== null && deadline <= now && !(await notices.hasAccepted(notice.id))) untold.set(notice.site, `${notice.body.title} (${notice.body.owner})`);
    }
    this.#untold = untold;
    await this.#sendDue(now);
    // After every alarm: what goes wrong with a seal must not hold one up.
    for (const notice of open) {
      const place = this.#placeOf(notice.site);
      if (place && 'seal' in notice) await stepSeal(notice, place, this.#options, now);
    }
  }

  /** Only who has a site tells of it; whatever its last server was sending may have arrived or not. */
  async #recover(now: number): Promise<void> {
    for (const [site, { isOurs }] of this.#options.writers) {
      if (!isOurs) this.#recovered.delete(site);
      else if (!this.#recovered.has(site)) {
        await this.#options.notices.recover(now, site);
        this.#recovered.add(site);
      }
    }
  }

  /** Why nobody need be told of it any more; only a person's word ends it, or the alarm's own end. */
  #isOver(writer: Site, { alarm }: AlarmNotice): string | null {
    const occurrence = writer.state.findAlarm(alarm)?.track.occurrence;
    if (!occurrence) return 'the alarm is over';
    if (occurrence.acknowledgedAtMs !== null) return `acknowledged by ${occurrence.acknowledgedBy ?? 'somebody'}`;
    return SET_ASIDE.includes(occurrence.state) ? 'set aside' : null;
  }

  /** Begins every step that is due. A step whose deliveries all failed hands over to the next one at once. */
  async #escalate(notice: OpenNotice<AlarmNotice>, notify: NotifyConfig, place: Place, now: number): Promise<void> {
    const { notices } = this.#options;
    const steps = notify.plans[notice.body.priority] ?? [];
    const last = steps.at(-1);
    if (!last) return notices.end(notice.id, now, `no plan for ${notice.body.priority}`);
    let { round, nextStep } = notice;
    const roundMs = last.afterMs + (notify.repeatMs ?? 0);
    for (;;) {
      if (nextStep >= steps.length) {
        if (notify.repeatMs === null) return;
        round += 1;
        nextStep = 0;
      }
      const step = steps[nextStep];
      if (!step) return;
      const beginsAtMs = notice.raisedAtMs + round * roundMs + step.afterMs;
      const isHopeless = nextStep > 0 && (await this.#isHopeless(notice.id, round, nextStep - 1));
      if (beginsAtMs > now && !isHopeless) return;
      const following = steps[nextStep + 1];
      const endsAtMs = following ? notice.raisedAtMs + round * roundMs + following.afterMs : beginsAtMs + notify.lastWaitMs;
      // After a long stop the server does not make up for rounds that nobody can have read.
      const isPast = endsAtMs <= now && nextStep + 1 >= steps.length && notify.repeatMs !== null && notice.raisedAtMs + (round + 1) * roundMs <= now;
      if (!isPast) await this.#begin(notice, { round, nextStep, deadlineMs: Math.max(endsAtMs, now + SHORTEST_SEND_MS) }, step.to, place, now);
      nextStep += 1;
      if (isPast) await notices.expand(notice, [], { round, nextStep });
    }
  }

  async #begin(notice: OpenNotice<AlarmNotice>, at: { round: number; nextStep: number; deadlineMs: number }, to: Parameters<typeof whoIsTold>[0], place: Place, now: number): Promise<void> {
    const { accounts, contacts, notices, channelOf } = this.#options;
    const people = (await accounts.users()).filter((one) => !one.disabled && reaches(one.sites, notice.site));
    const local = localTime(now, place.zone);
    const told = whoIsTold(to, people, place.notify?.rotas ?? {}, local);
    const { isAir, priority } = notice.body;
    const digest = !isAir && priority !== 'critical' && place.writer.state.flood.sinceMs !== null;
    const base = { notice: notice.id, round: at.round, step: at.nextStep, digest, deadlineMs: at.deadlineMs, nextMs: now };
    const deliveries: Parameters<NoticeStore['expand']>[1][number][] = [];
    for (const person of told.people) {
      const contact = await contacts.of(person);
      // Quiet hours are for what can wait: never for air, never for what is critical.
      const state = isQuiet(contact, local) && !isAir && priority !== 'critical' ? ('muted' as const) : ('waiting' as const);
      const pushes = channelOf(notice.site, 'push') ? (await contacts.subscriptions(person)).map(({ id }) => ({ channel: 'push' as const, target: id })) : [];
      const mail = contact.email !== null && channelOf(notice.site, 'email') ? [{ channel: 'email' as const, target: contact.email }] : [];
      deliveries.push(...[...pushes, ...mail].map((way) => ({ ...base, ...way, person, state })));
    }
    const hooks = told.webhooks.map((target) => ({ ...base, channel: 'webhook' as const, target, person: null, state: 'waiting' as const }));
    await notices.expand(notice, [...deliveries, ...hooks], { round: at.round, nextStep: at.nextStep + 1 });
    if (deliveries.length + hooks.length === 0) this.#options.log.warn({ site: notice.site, alarm: notice.alarm, step: at.nextStep }, 'a step of the plan reaches nobody');
  }

  async #isHopeless(notice: string, round: number, step: number): Promise<boolean> {
    return (await this.#options.notices.deliveries(notice)).filter((one) => one.round === round && one.step === step).every(({ state }) => state === 'dead' || state === 'muted');
  }

  async #sendDue(now: number): Promise<void> {
    const { notices } = this.#options;
    const due = (await notices.due(now, [...this.#recovered])).filter(({ id }) => !this.#inFlight.has(id));
    for (const delivery of due) if (delivery.deadlineMs <= now && !delivery.digest) await notices.settle([delivery], { state: 'dead', result: delivery.result ?? 'not handed over before its deadline', atMs: now });
    const alive = due.filter(({ deadlineMs, digest }) => deadlineMs > now || digest);
    for (const delivery of alive.filter(({ digest }) => !digest)) await this.#fly([delivery], null, now);
    for (const [key, parcel] of parcelsOf(alive.filter(({ digest }) => digest))) {
      const isNew = parcel[0]?.batch === null;
      if (isNew && now - (this.#digestAtMs.get(key) ?? Number.NEGATIVE_INFINITY) < DIGEST_MS) continue;
      if ((await this.#fly(parcel, parcel[0]?.batch ?? parcel[0]?.id ?? null, now)) && isNew) this.#digestAtMs.set(key, now);
    }
  }

  /** Sends one message for these; false where the channel has no room now. */
  async #fly(deliveries: readonly Delivery[], batch: string | null, now: number): Promise<boolean> {
    const [first] = deliveries;
    if (!first) return false;
    const { channel } = first;
    if (this.#flyingOn(channel) >= AT_ONCE || (this.#flyingOn(channel) >= SEALS_AT_ONCE && (await this.#isSeal(first)))) return false;
    if (!(await this.#isStillOurs(deliveries, batch))) return false;
    this.#flying.set(channel, this.#flyingOn(channel) + 1);
    for (const { id } of deliveries) this.#inFlight.add(id);
    const sending = this.#send(deliveries, batch, now)
      .catch((error: unknown) => this.#options.log.error({ err: error, channel }, 'what became of a message could not be noted'))
      .finally(() => {
        this.#flying.set(channel, this.#flyingOn(channel) - 1);
        for (const { id } of deliveries) this.#inFlight.delete(id);
        this.#sends.delete(sending);
        void this.wake();
      });
    this.#sends.add(sending);
    return true;
  }

  /** Notes that they are being sent; false where the site has moved to another server meanwhile, which sends them. */
  async #isStillOurs(deliveries: readonly Delivery[], batch: string | null): Promise<boolean> {
    const { notices, underLease } = this.#options;
    const site = (await notices.find(deliveries[0]?.notice ?? ''))?.site;
    if (site === undefined) return false;
    try {
      await underLease(site, () => notices.sending(deliveries, batch));
      return true;
    } catch (error) {
      if (error instanceof LeaseLost) return false;
      throw error;
    }
  }

  #flyingOn(channel: ChannelName): number {
    return this.#flying.get(channel) ?? 0;
  }

  async #isSeal({ notice }: Delivery): Promise<boolean> {
    const found = await this.#options.notices.find(notice);
    return found !== null && 'seal' in found;
  }

  async #send(deliveries: readonly Delivery[], batch: string | null, now: number): Promise<void> {
    const { notices, clock, channelOf, log, chance } = this.#options;
    const [first] = deliveries;
    const told = (await Promise.all(deliveries.map(({ notice }) => notices.find(notice)))).flatMap((notice) => notice ?? []);
    const [leading] = told;
    const place = leading && this.#placeOf(leading.site);
    if (!first || !leading || !place) return;
    const language = await this.#languageOf(first.person, place);
    const message = batch === null ? noticeMessage(first.id, leading, place, language) : digestMessage(batch, told.flatMap((notice) => ('seal' in notice ? [] : [notice])), place, language);
    const deadlineMs = Math.max(...deliveries.map((one) => one.deadlineMs));
    const timeoutMs = Math.max(SHORTEST_SEND_MS, Math.min(LONGEST_SEND_MS, deadlineMs - now));
    const outcome = (await channelOf(leading.site, first.channel)?.send(first.target, message, timeoutMs)) ?? { kind: 'failed' as const, detail: `${first.channel} is not set up any more`, isFinal: true };
    const atMs = clock.nowMs();
    if (outcome.kind === 'accepted') return notices.settle(deliveries, { state: 'accepted', result: outcome.detail, atMs });
    const pauses = 'seal' in leading ? SEAL_PAUSES_MS : PAUSES_MS;
    const pauseMs = Math.max(outcome.retryAfterMs ?? 0, (pauses[Math.min(first.attempts, pauses.length - 1)] ?? 45_000) * (1 + JITTER * chance()));
    const isLast = outcome.isFinal || atMs + pauseMs >= deadlineMs;
    log.warn({ channel: first.channel, delivery: first.id, detail: outcome.detail, isLast }, 'a notice could not be handed over');
    await notices.settle(deliveries, { state: isLast ? 'dead' : 'waiting', result: outcome.detail, atMs, nextMs: atMs + pauseMs });
  }

  #placeOf(site: string): Place | null {
    const writer = this.#options.writers.get(site);
    const config = writer?.state.config;
    return writer?.isOurs && config ? { writer, notify: config.notify ?? null, site, siteName: config.site.name, zone: config.site.zone, language: config.site.language ?? 'en', page: config.page ?? null } : null;
  }

  /** What a person chose; who chose none, and a program, are told in the site's. */
  async #languageOf(person: string | null, { language }: Place): Promise<Language> {
    return (person === null ? null : (await this.#options.contacts.of(person)).language) ?? language;
  }
}

interface Place extends NoticePlace {
  readonly writer: Site;
  readonly notify: NotifyConfig | null;
}

/** What goes to one address in one message; a message that is tried again keeps its parts. */
function parcelsOf(deliveries: readonly Delivery[]): Map<string, Delivery[]> {
  const parcels = new Map<string, Delivery[]>();
  for (const delivery of deliveries) {
    const key = [delivery.batch ?? 'new', delivery.person, delivery.channel, delivery.target].join('\n');
    parcels.set(key, [...(parcels.get(key) ?? []), delivery]);
  }
  return parcels;
}

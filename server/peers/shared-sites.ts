import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { Log } from '../../host/log.ts';
import { type Leases, LEASE_MS, type Standing } from '../record/postgres/leases.ts';
import { askPeer } from './ask-peer.ts';
import type { PeerMessage } from './peer-message.ts';
import { SharedSite, type SharedSiteOptions } from './shared-site.ts';

/** How often a server says that it lives, and looks which sites have no server. */
const BEAT_MS = 1_000;
/** How often it is looked whether another server has written. */
const READ_MS = 250;
/** Taken up side by side; the rest of the connections are for commits. */
const AT_ONCE = 3;
/** A free site is first left to those who have fewer, for so many looks. */
const LEFT_TO_OTHERS = 2;

export interface SharedSitesOptions {
  readonly leases: Leases;
  readonly log: Log;
  /** A site is ours from now on. */
  readonly onOurs: (site: SharedSite) => Promise<void>;
}

/** The sites of this server's configuration, shared with the other servers of the same database: takes what is free, lets go what is lost. */
export class SharedSites {
  readonly #options: SharedSitesOptions;
  readonly #sites = new Map<string, SharedSite>();
  #standing: ReadonlyMap<string, Standing> = new Map();
  /** For how many looks a site was free and not taken. */
  readonly #left = new Map<string, number>();
  #heardAt = performance.now();
  #timers: NodeJS.Timeout[] = [];
  #beating: Promise<void> | null = null;
  #reading: Promise<void> | null = null;
  #taking: Promise<void> | null = null;
  #isStopped = false;

  constructor(options: SharedSitesOptions) {
    this.#options = options;
  }

  /** Reads a site from the record; it is nobody's here before `start`. */
  async open(config: SiteConfig, options: Omit<SharedSiteOptions, 'config' | 'ask' | 'onLost'>): Promise<SharedSite> {
    const { leases, log } = this.#options;
    const ask = (message: PeerMessage): Promise<unknown> => this.ask(config.site.id, message);
    const onLost = ({ siteId }: SharedSite): void => {
      leases.forget(siteId);
      log.warn({ site: siteId }, 'another server has taken this site over; this one only shows it from now on');
    };
    const site = await SharedSite.open({ ...options, config, ask, onLost });
    this.#sites.set(site.siteId, site);
    return site;
  }

  /** Takes what is free now, and looks after it from then on. */
  async start(): Promise<void> {
    await this.#beat();
    await this.#taking;
    const beat = setInterval(() => void this.#beatOnce(), BEAT_MS);
    const read = setInterval(() => void this.#readOnce(), READ_MS);
    this.#timers = [beat, read];
    for (const timer of this.#timers) timer.unref();
  }

  /** Other servers reach this one there; `certificate`: PEM of the one it shows, null for none of its own. */
  async listen(address: string, certificate: string | null): Promise<void> {
    await this.#options.leases.listen(address, certificate);
  }

  /** Hands something on to the server that has the site. */
  ask(site: string, message: PeerMessage): Promise<unknown> {
    return askPeer(site, this.#standing.get(site)?.holder ?? null, message);
  }

  /** Where a site is: the address of its server; null where it is ours or nobody's. */
  whereIs(site: string): string | null {
    return this.#standing.get(site)?.holder?.address ?? null;
  }

  /** Gives all sites back in good order, so that others go on with them at once. */
  async stop(): Promise<void> {
    this.#isStopped = true;
    for (const timer of this.#timers) clearInterval(timer);
    await Promise.allSettled([this.#beating, this.#reading, this.#taking]);
    await Promise.allSettled([...this.#sites.values()].map((site) => site.stop()));
    await this.#options.leases.end().catch((error: unknown) => this.#options.log.warn({ err: error }, 'the sites could not be given back: others wait until the lease has run out'));
  }

  #beatOnce(): Promise<void> {
    return (this.#beating ??= this.#beat()
      .catch((error: unknown) => {
        this.#options.log.error({ err: error }, 'the database does not answer: which server has which site is not known');
        if (performance.now() - this.#heardAt > LEASE_MS) for (const site of this.#sites.values()) site.noteHeld(site.isOurs);
      })
      .finally(() => (this.#beating = null)));
  }

  async #beat(): Promise<void> {
    const { leases } = this.#options;
    await leases.beat();
    const { servers, sites } = await leases.roll();
    this.#heardAt = performance.now();
    this.#standing = sites;
    for (const [id, site] of this.#sites) {
      const standing = sites.get(id);
      if (site.isOurs && standing?.isOurs === false) this.#lose(site);
      site.noteHeld(standing !== undefined && !standing.isFree);
    }
    const free = [...this.#sites.values()].filter(({ siteId, isOurs }) => !isOurs && (sites.get(siteId)?.isFree ?? true));
    // Beside it: a server that takes many must go on telling that it lives.
    this.#taking ??= this.#takeFree(free, servers)
      .catch((error: unknown) => this.#options.log.error({ err: error }, 'free sites could not be taken'))
      .finally(() => (this.#taking = null));
  }

  #lose(site: SharedSite): void {
    site.lose().catch((error: unknown) => this.#options.log.warn({ err: error, site: site.siteId }, 'what its new server has written could not be read yet'));
  }

  /** Each takes its share of what is free, and what others leave. */
  async #takeFree(free: readonly SharedSite[], servers: number): Promise<void> {
    const share = Math.ceil(this.#sites.size / Math.max(1, servers));
    const freeNow = new Set(free.map(({ siteId }) => siteId));
    for (const id of this.#left.keys()) if (!freeNow.has(id)) this.#left.delete(id);
    let ours = [...this.#sites.values()].filter(({ isOurs }) => isOurs).length;
    const open = [...free];
    const takeOneByOne = async (): Promise<void> => {
      for (let site = open.shift(); site && !this.#isStopped; site = open.shift()) {
        const left = this.#left.get(site.siteId) ?? 0;
        this.#left.set(site.siteId, left + 1);
        if (ours >= share && left < LEFT_TO_OTHERS) continue;
        ours += 1;
        if (!(await this.#take(site))) ours -= 1;
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, takeOneByOne));
  }

  async #take(site: SharedSite): Promise<boolean> {
    const { leases, log, onOurs } = this.#options;
    if (!(await leases.take(site.siteId))) return false;
    try {
      await site.takeUp(leases.epochOf(site.siteId) ?? 0);
      log.info({ site: site.siteId }, 'this server has the site now');
      await onOurs(site);
      return true;
    } catch (error) {
      log.error({ err: error, site: site.siteId }, 'a site could not be taken up; it is given back');
      await site.lose().catch(() => undefined);
      await leases.release(site.siteId);
      return false;
    }
  }

  #readOnce(): Promise<void> {
    return (this.#reading ??= this.#read()
      .catch((error: unknown) => this.#options.log.warn({ err: error }, 'what other servers have written could not be read'))
      .finally(() => (this.#reading = null)));
  }

  async #read(): Promise<void> {
    const others = [...this.#sites.values()].filter(({ isOurs }) => !isOurs);
    if (others.length === 0) return;
    const heads = await this.#options.leases.heads();
    await Promise.all(others.filter(({ siteId, state }) => (heads.get(siteId) ?? 0) !== state.seq).map((site) => site.readOn()));
  }
}

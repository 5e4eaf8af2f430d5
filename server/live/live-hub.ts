import { randomUUID } from 'node:crypto';
import type { Effects } from '../../domain/site/site-effects.ts';
import type { PointKey } from '../../domain/points/reading.ts';
import { LIVE_PROTOCOL, type LiveSite, type LiveSnapshot, type ServerToBrowser } from '../../domain/wire/live.ts';
import type { Clock } from '../../host/clock.ts';
import { reaches, type Reach } from '../access/reach.ts';
import type { Site } from '../intake/site.ts';
import { describePoint, describeSite } from './describe.ts';
import { describeFlood, standingAlarms } from './describe-alarm.ts';

/** Changed points go out four times a second; without any, an empty update every second says that the server lives. */
const FLUSH_MS = 250;
const HEARTBEAT_MS = 1_000;

/** Sends one event to all browsers of an audience. `volatile`: may be dropped for one that does not keep up; it then asks for a snapshot. */
export type Emit = <E extends keyof ServerToBrowser>(room: string, event: E, message: Parameters<ServerToBrowser[E]>[0], options?: { readonly volatile: boolean }) => void;

/** Browsers that see the same sites share a room, and count revisions of their own: what others are told leaves no gap. */
interface Audience {
  readonly room: string;
  readonly reach: Reach;
  revision: number;
  sentAt: number;
}

export interface LiveHubOptions {
  readonly clock: Clock;
  readonly emit: Emit;
  readonly demo: boolean;
  /** The shift that is played again on a site; null where none is. */
  readonly replayOf: (site: string) => string | null;
}

/**
 * What browsers are told: alarms at once, points coalesced to the latest. Every message has the next revision, so a browser that
 * missed one knows it.
 */
export class LiveHub {
  readonly #boot = randomUUID();
  readonly #options: LiveHubOptions;
  readonly #writers = new Map<string, Site>();
  readonly #dirty = new Map<string, Set<PointKey>>();
  readonly #recording = new Map<string, boolean>();
  readonly #flusher: NodeJS.Timeout;
  readonly #audiences = new Map<string, Audience>();
  readonly #gatewayAtMs = new Map<string, number>();

  constructor(options: LiveHubOptions) {
    this.#options = options;
    this.#flusher = setInterval(() => this.#flush(), FLUSH_MS);
    this.#flusher.unref();
  }

  add(writer: Site): void {
    this.#writers.set(writer.siteId, writer);
    this.#recording.set(writer.siteId, writer.isRecording);
  }

  /** A site's gateway was heard. */
  noteGateway(site: string): void {
    this.#gatewayAtMs.set(site, this.#options.clock.nowMs());
  }

  /** Takes the effects of a commit: alarms and sites go out now, points with the next flush. */
  publish(writer: Site, effects: readonly Effects[]): void {
    const dirty = this.#dirty.get(writer.siteId) ?? new Set<PointKey>();
    this.#dirty.set(writer.siteId, dirty);
    for (const one of effects) for (const key of one.changed) dirty.add(key);
    const changed = effects.flatMap((one) => one.transitions.map((move) => move.occurrence.id));
    if (changed.length > 0 || effects.some((one) => one.floodChanged)) {
      this.#flush();
      const said = { site: writer.siteId, alarms: standingAlarms(writer.state), changed: [...new Set(changed)], flood: describeFlood(writer.state) };
      for (const audience of this.#seeing(writer.siteId)) this.#options.emit(audience.room, 'alarms', { ...this.#next(audience), ...said });
    }
    const isRecordingNews = this.#recording.get(writer.siteId) !== writer.isRecording;
    this.#recording.set(writer.siteId, writer.isRecording);
    if (isRecordingNews || effects.some((one) => one.siteChanged)) this.tellSites(writer.siteId);
  }

  /** Tells everybody who sees a site how it looks now. */
  tellSites(site: string): void {
    const sites = this.sites();
    for (const audience of this.#seeing(site)) {
      this.#options.emit(audience.room, 'sites', { ...this.#next(audience), sites: sites.filter(({ id }) => reaches(audience.reach, id)) });
    }
  }

  /** The room in which everything within this reach is told; its name tells nothing that its members don't know. */
  join(reach: Reach): string {
    const room = reach === null ? 'all sites' : `sites ${[...new Set(reach)].sort().join(' ')}`;
    if (!this.#audiences.has(room)) this.#audiences.set(room, { room, reach, revision: 0, sentAt: 0 });
    return room;
  }

  snapshot(reach: Reach): LiveSnapshot {
    this.#flush();
    const states = [...this.#writers.values()].filter(({ siteId }) => reaches(reach, siteId)).map((writer) => writer.state);
    return {
      boot: this.#boot,
      revision: this.#audiences.get(this.join(reach))?.revision ?? 0,
      serverNowMs: this.#options.clock.nowMs(),
      protocol: LIVE_PROTOCOL,
      sites: this.sites().filter(({ id }) => reaches(reach, id)),
      points: states.flatMap((state) => [...state.points()].map((point) => describePoint(state, point))),
      alarms: states.flatMap(standingAlarms),
      floods: Object.fromEntries(states.flatMap((state) => ((flood) => (flood && state.config ? [[state.config.site.id, flood] as const] : []))(describeFlood(state)))),
    };
  }

  sites(): LiveSite[] {
    return [...this.#writers.values()].flatMap((writer) => {
      const site = describeSite(writer.state, { demo: this.#options.demo, replay: this.#options.replayOf(writer.siteId), recording: writer.isRecording, gatewayAtMs: this.#gatewayAtMs.get(writer.siteId) ?? null });
      return site ? [site] : [];
    });
  }

  stop(): void {
    clearInterval(this.#flusher);
  }

  #flush(): void {
    const dirty = [...this.#dirty].flatMap(([siteId, keys]) => {
      const state = this.#writers.get(siteId)?.state;
      if (!state || keys.size === 0) return [];
      const points = [...state.points()].filter((point) => keys.has(point.key)).map((point) => describePoint(state, point));
      keys.clear();
      return [{ siteId, points }];
    });
    const now = performance.now();
    for (const audience of this.#audiences.values()) {
      const points = dirty.filter(({ siteId }) => reaches(audience.reach, siteId)).flatMap((one) => one.points);
      if (points.length === 0 && now - audience.sentAt < HEARTBEAT_MS) continue;
      audience.sentAt = now;
      this.#options.emit(audience.room, 'live', { ...this.#next(audience), points }, { volatile: true });
    }
  }

  #seeing(site: string): Audience[] {
    return [...this.#audiences.values()].filter(({ reach }) => reaches(reach, site));
  }

  #next(audience: Audience): { boot: string; revision: number; serverNowMs: number } {
    audience.revision += 1;
    return { boot: this.#boot, revision: audience.revision, serverNowMs: this.#options.clock.nowMs() };
  }
}

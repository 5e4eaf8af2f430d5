import { randomUUID } from 'node:crypto';
import type { Effects } from '../../domain/site/site-effects.ts';
import type { PointKey } from '../../domain/points/reading.ts';
import { LIVE_PROTOCOL, type LiveSite, type LiveSnapshot, type ServerToBrowser } from '../../domain/wire/live.ts';
import type { Clock } from '../../host/clock.ts';
import type { SiteWriter } from '../intake/site-writer.ts';
import { describePoint, describeSite } from './describe.ts';
import { describeFlood, standingAlarms } from './describe-alarm.ts';

/** Changed points go out four times a second; without any, an empty update every second says that the server lives. */
const FLUSH_MS = 250;
const HEARTBEAT_MS = 1_000;

/** Sends one event to every browser. `volatile`: may be dropped for one that does not keep up; it then asks for a snapshot. */
export type Emit = <E extends keyof ServerToBrowser>(event: E, message: Parameters<ServerToBrowser[E]>[0], options?: { readonly volatile: boolean }) => void;

export interface LiveHubOptions {
  readonly clock: Clock;
  readonly emit: Emit;
  readonly demo: boolean;
}

/**
 * What browsers are told: alarms at once, points coalesced to the latest. Every message has the next revision, so a browser that
 * missed one knows it.
 */
export class LiveHub {
  readonly #boot = randomUUID();
  readonly #options: LiveHubOptions;
  readonly #writers = new Map<string, SiteWriter>();
  readonly #dirty = new Map<string, Set<PointKey>>();
  readonly #recording = new Map<string, boolean>();
  readonly #flusher: NodeJS.Timeout;
  #revision = 0;
  #sentAt = 0;
  #gatewayAtMs: number | null = null;

  constructor(options: LiveHubOptions) {
    this.#options = options;
    this.#flusher = setInterval(() => this.#flush(), FLUSH_MS);
    this.#flusher.unref();
  }

  add(writer: SiteWriter): void {
    this.#writers.set(writer.siteId, writer);
    this.#recording.set(writer.siteId, writer.isRecording);
  }

  /** A gateway was heard. */
  noteGateway(): void {
    this.#gatewayAtMs = this.#options.clock.nowMs();
  }

  /** Takes the effects of a commit: alarms and sites go out now, points with the next flush. */
  publish(writer: SiteWriter, effects: readonly Effects[]): void {
    const dirty = this.#dirty.get(writer.siteId) ?? new Set<PointKey>();
    this.#dirty.set(writer.siteId, dirty);
    for (const one of effects) for (const key of one.changed) dirty.add(key);
    const changed = effects.flatMap((one) => one.transitions.map((move) => move.occurrence.id));
    if (changed.length > 0 || effects.some((one) => one.floodChanged)) {
      this.#flush();
      this.#options.emit('alarms', { ...this.#next(), site: writer.siteId, alarms: standingAlarms(writer.state), changed: [...new Set(changed)], flood: describeFlood(writer.state) });
    }
    const isRecordingNews = this.#recording.get(writer.siteId) !== writer.isRecording;
    this.#recording.set(writer.siteId, writer.isRecording);
    if (isRecordingNews || effects.some((one) => one.siteChanged)) this.#options.emit('sites', { ...this.#next(), sites: this.sites() });
  }

  snapshot(): LiveSnapshot {
    this.#flush();
    const states = [...this.#writers.values()].map((writer) => writer.state);
    return {
      boot: this.#boot,
      revision: this.#revision,
      serverNowMs: this.#options.clock.nowMs(),
      protocol: LIVE_PROTOCOL,
      sites: this.sites(),
      points: states.flatMap((state) => [...state.points()].map((point) => describePoint(state, point))),
      alarms: states.flatMap(standingAlarms),
      floods: Object.fromEntries(states.flatMap((state) => ((flood) => (flood && state.config ? [[state.config.site.id, flood] as const] : []))(describeFlood(state)))),
    };
  }

  sites(): LiveSite[] {
    return [...this.#writers.values()].flatMap((writer) => {
      const site = describeSite(writer.state, { demo: this.#options.demo, recording: writer.isRecording, gatewayAtMs: this.#gatewayAtMs });
      return site ? [site] : [];
    });
  }

  stop(): void {
    clearInterval(this.#flusher);
  }

  #flush(): void {
    const points = [...this.#dirty].flatMap(([siteId, keys]) => {
      const state = this.#writers.get(siteId)?.state;
      if (!state || keys.size === 0) return [];
      const described = [...state.points()].filter((point) => keys.has(point.key)).map((point) => describePoint(state, point));
      keys.clear();
      return described;
    });
    if (points.length === 0 && performance.now() - this.#sentAt < HEARTBEAT_MS) return;
    this.#sentAt = performance.now();
    this.#options.emit('live', { ...this.#next(), points }, { volatile: true });
  }

  #next(): { boot: string; revision: number; serverNowMs: number } {
    this.#revision += 1;
    return { boot: this.#boot, revision: this.#revision, serverNowMs: this.#options.clock.nowMs() };
  }
}

import type { GatewayReport } from '../../domain/wire/gateway-report.ts';
import { addRange, contiguousThrough, countOf, firstGap, highest, type SequenceRanges } from '../../domain/wire/sequence-ranges.ts';
import { type Lane, LIVE_WITHIN_MS, MAX_BATCH, MAX_RANGES, type SequencedReading, type UplinkAck, type UplinkBatch } from '../../domain/wire/uplink.ts';
import { backOffMs, type Pace } from '../../host/back-off.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import type { Outbox } from '../outbox/outbox.ts';
import { Pause } from './pause.ts';

/** Hands a batch to a server and answers once the server has committed it. */
export type Deliver = (batch: UplinkBatch) => Promise<UplinkAck>;

export interface UplinkTarget {
  /** Names this uplink's place in the outbox. */
  readonly name: string;
  readonly deliver: Deliver;
  /** Until when the server's certificate holds; null in one process, and before it was seen. */
  readonly certificateUntilMs?: () => number | null;
  /** Tells the server how the gateway is; not there in one process, where it is asked. */
  readonly report?: (site: string, report: GatewayReport) => Promise<void>;
  readonly close?: () => void;
}

export interface UplinkStatus {
  readonly name: string;
  readonly connected: boolean;
  /** Readings on disk that this server has not committed. */
  readonly waiting: number;
  /** Why the last attempt failed; null while it works. */
  readonly trouble: string | null;
  readonly certificateUntilMs: number | null;
}

/** A server that is back is found within half a minute. */
const PACE: Pace = { firstMs: 100, longestMs: 30_000 };
/** A backlog's batch that takes longer than this is made smaller, so that a thin line is free for the live lane in between. */
const BACKLOG_TURN_MS = 500;
const SMALLEST_BATCH = 50;

export interface UplinkOptions {
  readonly outbox: Outbox;
  readonly target: UplinkTarget;
  readonly site: string;
  readonly clock: Clock;
  readonly log: Log;
}

/**
 * Empties the outbox into a server on two lanes, one batch at a time on each. The live lane has what came in during the last minute and
 * goes on in order from there; the backlog lane fills the gap behind it, oldest first. What failed is sent again.
 */
export class Uplink {
  readonly #options: UplinkOptions;
  readonly #live = new Pause();
  readonly #backlog = new Pause();
  readonly #done: Promise<void>;
  #ranges: SequenceRanges = [];
  /** Where the live lane goes on. */
  #liveAfter = 0;
  #isStopped = false;
  #isConnected = false;
  #trouble: string | null = null;

  constructor(options: UplinkOptions) {
    this.#options = options;
    options.outbox.onAdded(() => {
      if (this.#isConnected) this.#live.end();
    });
    this.#done = this.#run();
  }

  status(): UplinkStatus {
    const { outbox, target } = this.#options;
    return {
      name: target.name,
      connected: this.#isConnected,
      waiting: Math.max(0, Math.min(outbox.waiting(), outbox.last() - countOf(this.#ranges))),
      trouble: this.#trouble,
      certificateUntilMs: target.certificateUntilMs?.() ?? null,
    };
  }

  /** Stops after the batches under way. */
  async stop(): Promise<void> {
    this.#isStopped = true;
    this.#endPauses();
    await this.#done;
    this.#options.target.close?.();
  }

  async #run(): Promise<void> {
    let failures = 0;
    while (!this.#isStopped) {
      try {
        await this.#connect();
        failures = 0;
        await this.#drain();
      } catch (error) {
        failures += 1;
        this.#trouble = (error as Error).message;
        this.#options.log.error({ err: error, uplink: this.#options.target.name, failures }, 'the server did not take a batch; it stays on disk and is sent again');
        if (!this.#isStopped) await this.#live.sleep(backOffMs(failures, Math.random(), PACE));
      }
    }
  }

  /** Asks how far the server is: it may have been away, or have been set back to a backup. */
  async #connect(): Promise<void> {
    const { outbox } = this.#options;
    let { ranges } = await this.#send('live', 0, 0, []);
    if (highest(ranges) > outbox.last()) {
      outbox.renewEpoch();
      ({ ranges } = await this.#send('live', 0, 0, []));
    }
    this.#ranges = ranges;
    this.#trouble = null;
    this.#liveAfter = this.#splitAt(highest(ranges));
    this.#release();
  }

  /** Both lanes, until one fails or all is to stop; the other then ends after its batch. */
  async #drain(): Promise<void> {
    this.#isConnected = true;
    const end = (): void => {
      this.#isConnected = false;
      this.#endPauses();
    };
    const ended = await Promise.allSettled([this.#runLive().finally(end), this.#runBacklog().finally(end)]);
    for (const lane of ended) if (lane.status === 'rejected') throw lane.reason as Error;
  }

  async #runLive(): Promise<void> {
    const { outbox, clock } = this.#options;
    while (this.#goesOn()) {
      const readings = outbox.read(this.#liveAfter, MAX_BATCH);
      const [first] = readings;
      if (!first) {
        await this.#live.sleep(null);
        continue;
      }
      // A server too slow for all: what is more than a minute behind goes beside.
      const split = first.receivedAtMs < clock.nowMs() - LIVE_WITHIN_MS ? this.#splitAt(this.#liveAfter) : this.#liveAfter;
      if (split > this.#liveAfter) {
        this.#liveAfter = split;
        this.#backlog.end();
        continue;
      }
      const through = readings.at(-1)?.sequence ?? this.#liveAfter;
      await this.#send('live', this.#liveAfter, through, readings);
      this.#liveAfter = through;
    }
  }

  async #runBacklog(): Promise<void> {
    const { outbox } = this.#options;
    let size = MAX_BATCH;
    while (this.#goesOn()) {
      const gap = firstGap(this.#ranges, this.#liveAfter);
      if (!gap) {
        await this.#backlog.sleep(null);
        continue;
      }
      const [after, end] = gap;
      const readings = outbox.read(after, size, end);
      // A gap that holds nothing any more is closed without readings.
      const through = readings.length < size ? end : (readings.at(-1)?.sequence ?? end);
      const begun = performance.now();
      await this.#send('backlog', after, through, readings);
      size = performance.now() - begun > BACKLOG_TURN_MS ? Math.max(SMALLEST_BATCH, Math.floor(size / 2)) : Math.min(MAX_BATCH, size * 2);
    }
  }

  #goesOn(): boolean {
    return this.#isConnected && !this.#isStopped;
  }

  async #send(lane: Lane, after: number, through: number, readings: readonly SequencedReading[]): Promise<UplinkAck> {
    const { outbox, target, site, clock } = this.#options;
    const ack = await target.deliver({ site, gateway: outbox.gateway, epoch: outbox.epoch, lane, after, through, sentAtMs: clock.nowMs(), readings, links: through > after ? outbox.links(after, through) : [] });
    this.#ranges = addRange(this.#ranges, [after, through]);
    this.#release();
    return ack;
  }

  #release(): void {
    this.#options.outbox.release(this.#options.target.name, contiguousThrough(this.#ranges));
  }

  /** Where the last minute begins, or where the live lane already is if that is later. */
  #splitAt(known: number): number {
    const { outbox, clock } = this.#options;
    if (this.#ranges.length >= MAX_RANGES) return known;
    return Math.max(known, (outbox.firstSince(clock.nowMs() - LIVE_WITHIN_MS) ?? outbox.last() + 1) - 1);
  }

  #endPauses(): void {
    this.#live.end();
    this.#backlog.end();
  }
}

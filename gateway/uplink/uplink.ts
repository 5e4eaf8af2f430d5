import type { GatewayReport } from '../../domain/wire/gateway-report.ts';
import { addRange, contiguousThrough, countOf, firstGap, highest, type SequenceRanges } from '../../domain/wire/sequence-ranges.ts';
import { type Lane, LIVE_WITHIN_MS, MAX_BATCH, MAX_RANGES, type SequencedReading, type UplinkAck, type UplinkBatch } from '../../domain/wire/uplink.ts';
import { backOffMs, type Pace } from '../../host/back-off.ts';
import type { Clock } from '../../host/clock.ts';
import type { Log } from '../../host/log.ts';
import type { Outbox } from '../outbox/outbox.ts';
import { BatchRefused } from './batch-refused.ts';
import { Pause } from './pause.ts';

/** Hands a batch to a server and answers once the server has committed it. */
export type Deliver = (batch: UplinkBatch) => Promise<UplinkAck>;

export interface UplinkTarget {
  /** Names this uplink's place in the outbox. */
  readonly name: string;
  readonly deliver: Deliver;
  /** Until when the server's certificate holds; null in one process, and before it was seen. */
  readonly certificateUntilMs?: () => number | null;
  /** Until when the server takes this gateway's token; null in one process, and before it was told. */
  readonly tokenUntilMs?: () => number | null;
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
  readonly tokenUntilMs: number | null;
  /** Readings kept aside because this server would not take them, and its words for the last since the start. */
  readonly setAside: number;
  readonly setAsideWhy: string | null;
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
  #setAsideWhy: string | null = null;

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
      tokenUntilMs: target.tokenUntilMs?.() ?? null,
      setAside: outbox.countSetAside(target.name),
      setAsideWhy: this.#setAsideWhy,
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
      await this.#hand('live', this.#liveAfter, through, readings);
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
      await this.#hand('backlog', after, through, readings);
      size = performance.now() - begun > BACKLOG_TURN_MS ? Math.max(SMALLEST_BATCH, Math.floor(size / 2)) : Math.min(MAX_BATCH, size * 2);
    }
  }

  #goesOn(): boolean {
    return this.#isConnected && !this.#isStopped;
  }

  /** Hands a range over. Of what the server will not take as it is, halves are tried until the reading is found that it objects to. */
  async #hand(lane: Lane, after: number, through: number, readings: readonly SequencedReading[]): Promise<void> {
    try {
      await this.#send(lane, after, through, readings);
    } catch (error) {
      const [first, ...others] = readings;
      if (!(error instanceof BatchRefused) || !first) throw error;
      if (others.length === 0) return this.#setAside(lane, after, through, first, error.message);
      const half = readings.length >> 1;
      const border = readings[half - 1]?.sequence ?? after;
      await this.#hand(lane, after, border, readings.slice(0, half));
      await this.#hand(lane, border, through, readings.slice(half));
    }
  }

  /** One reading must not hold up all that come after it: it is kept for a person, and its range closed without it. */
  async #setAside(lane: Lane, after: number, through: number, reading: SequencedReading, reason: string): Promise<void> {
    const { outbox, target, clock, log } = this.#options;
    // A server that refuses an empty batch too has nothing against this reading.
    await this.#send('live', 0, 0, []);
    outbox.setAside({ uplink: target.name, atMs: clock.nowMs(), reason, reading });
    this.#setAsideWhy = reason;
    log.error({ uplink: target.name, reading, reason }, 'the server will not take a reading as it is: it is set aside for a person to look at, and what follows goes on');
    try {
      await this.#send(lane, after, through, []);
    } catch (error) {
      if (!(error instanceof BatchRefused)) throw error;
      // What it objects to is in the chain's link too.
      await this.#send(lane, after, through, [], []);
    }
  }

  async #send(lane: Lane, after: number, through: number, readings: readonly SequencedReading[], links = through > after ? this.#options.outbox.links(after, through) : []): Promise<UplinkAck> {
    const { outbox, target, site, clock } = this.#options;
    const ack = await target.deliver({ site, gateway: outbox.gateway, epoch: outbox.epoch, lane, after, through, sentAtMs: clock.nowMs(), readings, links });
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

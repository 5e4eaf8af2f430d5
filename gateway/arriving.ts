import type { ArrivingTopic } from '../domain/wire/gateway-report.ts';
import { fieldsOf } from './fields-of.ts';
import { guessForm } from './guess-form.ts';
import { type Message, sampleOf, type TakenIn } from './take-in.ts';

/** Topics that are told of: of more those heard last. Up to twice as many are kept, so that forgetting is seldom: a look at all of them for each message cost more than all else. */
const MOST_TOPICS = 500;
const WINDOW_MS = 10_000;
/** Enough to guess the form of what is no giant. */
const KEPT_BYTES = 4_096;
/** Of all topics together, those heard last first: a report must not grow past what a server takes. */
const MOST_FIELDS = 400;

interface Heard {
  /** In the order of hearing. */
  nth: number;
  count: number;
  windowFromMs: number;
  inWindow: number;
  perMinute: number;
  lastAtMs: number;
  payload: Uint8Array;
  bytes: number;
  feeds: string[];
  trouble: string | null;
}

/** What is arriving, by topic: with it setting up a site is a matter of looking. Only the newest message of a topic is kept, shortened. */
export class Arriving {
  readonly #topics = new Map<string, Heard>();
  #count = 0;

  note({ topic, payload }: Message, { readings, refusals }: TakenIn, atMs: number): void {
    let heard = this.#topics.get(topic);
    if (!heard) {
      heard = { nth: 0, count: 0, windowFromMs: atMs, inWindow: 0, perMinute: 0, lastAtMs: atMs, payload, bytes: 0, feeds: [], trouble: null };
      this.#topics.set(topic, heard);
    }
    heard.nth = this.#count += 1;
    if (this.#topics.size > 2 * MOST_TOPICS) this.#forgetOldest();
    if (atMs - heard.windowFromMs >= WINDOW_MS) {
      heard.perMinute = (heard.inWindow * 60_000) / (atMs - heard.windowFromMs);
      [heard.windowFromMs, heard.inWindow] = [atMs, 0];
    }
    heard.count += 1;
    heard.inWindow += 1;
    heard.lastAtMs = atMs;
    heard.bytes = payload.byteLength;
    heard.payload = payload.byteLength > KEPT_BYTES ? payload.slice(0, KEPT_BYTES) : payload;
    if (readings.some((reading) => !heard.feeds.includes(nameOf(reading)))) heard.feeds = [...new Set([...heard.feeds, ...readings.map(nameOf)])].slice(0, 100);
    heard.trouble = refusals[0] ? `${refusals[0].reason}: ${refusals[0].detail}`.slice(0, 400) : null;
  }

  #forgetOldest(): void {
    const kept = new Set(this.#latestFirst().map(([topic]) => topic));
    for (const topic of this.#topics.keys()) if (!kept.has(topic)) this.#topics.delete(topic);
  }

  #latestFirst(): [string, Heard][] {
    return [...this.#topics].sort(([, a], [, b]) => b.nth - a.nth).slice(0, MOST_TOPICS);
  }

  /** By topic. */
  list(): ArrivingTopic[] {
    let left = MOST_FIELDS;
    const pick = (payload: Uint8Array): { readonly at: string; readonly value: string }[] => {
      const fields = fieldsOf(payload).slice(0, left);
      left -= fields.length;
      return fields;
    };
    const topics = this.#latestFirst().map(([topic, { payload, nth: _nth, windowFromMs: _from, inWindow: _in, ...heard }]) => ({
      ...heard,
      topic: topic.slice(0, 256),
      perMinute: Math.round(heard.perMinute * 10) / 10,
      sample: sampleOf(payload),
      form: heard.bytes > KEPT_BYTES ? ('other' as const) : guessForm(topic, payload),
      fields: heard.bytes > KEPT_BYTES ? [] : pick(payload),
    }));
    return topics.sort((a, b) => (a.topic < b.topic ? -1 : 1));
  }
}

function nameOf(reading: { readonly owner: string; readonly point: string } | undefined): string {
  return reading ? `${reading.owner}/${reading.point}` : '';
}

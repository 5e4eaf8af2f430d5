import { z } from 'zod';
import { PAYLOAD_FORMS } from '../shift/site-config.ts';
import { REFUSAL_REASONS } from './refusal.ts';

const count = z.int().min(0);
const name = z.string().max(64);

const arrivingTopic = z.strictObject({
  topic: z.string().max(256),
  /** Messages since the gateway started, and in the last full ten seconds, as a rate a minute. */
  count,
  perMinute: z.number().min(0),
  lastAtMs: z.int(),
  /** The first bytes of the newest, with what can't be printed as dots. */
  sample: z.string().max(120),
  bytes: count,
  /** What the payload looks like, whatever it is mapped as. */
  form: z.enum([...PAYLOAD_FORMS, 'other']),
  /** What the newest holds, for picking from: JSON Pointers or SenML names with their values. Absent from gateways that don't tell. */
  fields: z.array(z.strictObject({ at: z.string().max(120), value: z.string().max(40) })).max(40).optional(),
  /** The points it feeds, `<owner>/<point>`; empty where it feeds none. */
  feeds: z.array(z.string().max(130)).max(100),
  /** Why the newest was set aside, in words; null where it was not. */
  trouble: z.string().max(400).nullable(),
});
/** A topic that was heard, and what became of it. */
export type ArrivingTopic = z.output<typeof arrivingTopic>;

/** What a gateway tells of itself every few seconds. */
export const gatewayReport = z.strictObject({
  gateway: name,
  epoch: name,
  /** By the gateway's clock. */
  atMs: z.int(),
  /** To the broker. */
  connected: z.boolean(),
  messages: count,
  /** Readings on disk that at least one server has not committed. */
  waiting: count,
  /** How far the wall clock has moved against the monotonic one since the gateway started, ms. */
  wallDriftMs: z.number().nullable(),
  outbox: z.strictObject({ filled: z.number().min(0), dropped: count, givenUp: count, writable: z.boolean() }),
  uplinks: z.array(z.strictObject({ name, connected: z.boolean(), waiting: count, trouble: z.string().max(500).nullable(), certificateUntilMs: z.int().nullable(), tokenUntilMs: z.int().nullable(), setAside: count, setAsideWhy: z.string().max(500).nullable() })).max(16),
  refusals: z.strictObject({
    latest: z.array(z.strictObject({ atMs: z.int(), topic: z.string().max(256), reason: z.enum(REFUSAL_REASONS), detail: z.string().max(1_000), sample: z.string().max(120), bytes: count })).max(100),
    counts: z.record(z.string().max(40), count),
  }),
  arriving: z.array(arrivingTopic).max(500),
});
export type GatewayReport = z.output<typeof gatewayReport>;

import type { TopicTarget } from '../../topic-map.ts';
import { type Decoded, quote, type Refused, refuse } from '../decoded.ts';
import type { Absent, Command, DecodedMessage } from '../decoded-message.ts';
import { metricValue } from './metric-value.ts';
import { readSparkplug, type SparkplugMetric, type SparkplugPayload, writeRebirth } from './sparkplug-codec.ts';
import type { SparkplugNode } from './sparkplug-node.ts';
import { type SparkplugTopic, sparkplugTopic } from './sparkplug-topic.ts';

/** A message's way to its points. */
export interface SparkplugRoute {
  readonly at: SparkplugTopic;
  /** Points of the topic's edge node or device. */
  readonly targets: readonly TopicTarget[];
  /** Points of the edge node and all its devices. */
  readonly all: readonly TopicTarget[];
}

/** Sparkplug's own numbers for the property `Quality`. */
const QUALITY_GOOD = 192;
const QUALITY_STALE = 500;

/** Payload form `sparkplug` (Sparkplug B, specification 3.0). Changes `node`, what is known of the edge node. */
export function decodeSparkplug({ at, targets, all }: SparkplugRoute, bytes: Uint8Array, node: SparkplugNode, nowMs: number): DecodedMessage {
  if (at.type === 'NCMD' || at.type === 'DCMD') return { values: [] };
  const payload = readSparkplug(bytes);
  if ('ok' in payload) return refused(payload, targets);
  if (at.type === 'NDEATH') return { values: [], absent: node.death(bdSeqOf(payload)) ? offline(all) : [] };
  const { seq } = payload;
  if (seq === null || !Number.isInteger(seq) || seq < 0 || seq > 255) return refused(refuse('not-sparkplug', `found sequence number ${quote(seq)}, expected 0 to 255`), targets);
  if (at.type === 'NBIRTH') node.birth(seq, bdSeqOf(payload), payload.metrics);
  else if (!node.isBorn) return notBorn(at, targets, node, nowMs);
  else node.follow(seq);
  const commands = node.hasMissed ? askForBirth(at.node, node, nowMs) : [];
  if (at.type === 'DDEATH') {
    node.deviceDeath(at.device);
    return { values: [], absent: offline(targets), commands };
  }
  // A device that feeds no point is only counted: what it announces is not kept.
  if (targets.length === 0) return { values: [], commands };
  if (at.type === 'DBIRTH') node.deviceBirth(at.device, payload.metrics);
  else if (!node.hasAnnounced(at.device)) return notBorn(at, targets, node, nowMs);
  return { ...readMetrics(at, targets, payload, node), commands };
}

/** Asks for the birth of an edge node whose messages were or may have been missed. */
export function askForBirth(key: string, node: SparkplugNode, nowMs: number): Command[] {
  return node.ask(nowMs) ? [{ topic: sparkplugTopic(key, 'NCMD'), payload: writeRebirth(nowMs) }] : [];
}

function readMetrics({ type, device }: SparkplugTopic, targets: readonly TopicTarget[], payload: SparkplugPayload, node: SparkplugNode): DecodedMessage {
  const values: { target: TopicTarget; decoded: Decoded }[] = [];
  const absent: Absent[] = [];
  const missing = new Set(targets);
  for (const metric of payload.metrics) {
    const announced = node.announced(device, metric);
    for (const target of targets) {
      if (!announced || target.source?.name !== announced.name) continue;
      missing.delete(target);
      if (metric.quality !== null && metric.quality !== QUALITY_GOOD) absent.push({ target, reason: metric.quality === QUALITY_STALE ? 'stale' : 'reported-bad' });
      else values.push({ target, decoded: decodeMetric(metric, announced, target, payload.atMs, node.hasMissed) });
    }
  }
  // Data come by exception; a birth announces every metric there is.
  if (type === 'NBIRTH' || type === 'DBIRTH') for (const target of missing) values.push({ target, decoded: refuse('value-missing', `the birth announces no metric ${quote(target.source?.name ?? null)}`) });
  return { values, absent };
}

function decodeMetric(metric: SparkplugMetric, announced: { name: string; datatype: number }, { kind }: TopicTarget, payloadAtMs: number | null, hasMissed: boolean): Decoded {
  const { name } = announced;
  if (metric.isNull || metric.raw === undefined) return refuse('value-missing', `${quote(name)} has no value`);
  const value = metricValue(metric.raw, metric.datatype ?? announced.datatype);
  const number = kind.state && typeof value === 'boolean' ? Number(value) : value;
  if (typeof number !== 'number') return refuse('not-a-number', `found ${quote(number)} in ${quote(name)}, expected a number`);
  if (!Number.isFinite(number)) return refuse('not-finite', `found ${number} in ${quote(name)}`);
  const atMs = metric.atMs ?? payloadAtMs;
  return {
    ok: true,
    value: number,
    unit: null,
    atSeconds: atMs === null ? null : atMs / 1000,
    ...(metric.isHistorical ? { isHistory: true } : {}),
    ...(hasMissed ? { doubt: 'sequence-gap' } : {}),
  };
}

/** Data before the birth can't be read: the gateway came later, or the birth was lost. */
function notBorn({ node: key }: SparkplugTopic, targets: readonly TopicTarget[], node: SparkplugNode, nowMs: number): DecodedMessage {
  return { values: [], absent: offline(targets), remarks: [refuse('not-born', 'data before the birth that says what they mean; the birth is asked for')], commands: askForBirth(key, node, nowMs) };
}

function offline(targets: readonly TopicTarget[]): Absent[] {
  return targets.map((target) => ({ target, reason: 'node-offline' }));
}

function refused(reason: Refused, targets: readonly TopicTarget[]): DecodedMessage {
  return targets.length === 0 ? { values: [], remarks: [reason] } : { values: targets.map((target) => ({ target, decoded: reason })) };
}

function bdSeqOf({ metrics }: SparkplugPayload): number | null {
  const metric = metrics.find(({ name }) => name === 'bdSeq');
  const value = metric === undefined ? undefined : metricValue(metric.raw, metric.datatype ?? 0);
  return typeof value === 'number' ? value : null;
}

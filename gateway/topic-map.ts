import { findPointKind, needPointKind, type PointKind } from '../domain/points/catalogue.ts';
import type { PointSource, SiteConfig } from '../domain/shift/site-config.ts';
import { replayTopic } from '../domain/wire/replay.ts';
import type { SparkplugRoute } from './decode/sparkplug/decode-sparkplug.ts';
import { parseSparkplugTopic, sparkplugFilters } from './decode/sparkplug/sparkplug-topic.ts';

/** One point that a topic feeds. `source` is null for the default form on a default topic. */
export interface TopicTarget {
  readonly owner: string;
  readonly point: string;
  readonly kind: PointKind;
  readonly source: PointSource | null;
}

interface SparkplugTarget {
  /** Empty for the edge node itself. */
  readonly device: string;
  readonly target: TopicTarget;
}

/** Which points a topic feeds: by the configuration, else by the default form `potside/<site>/<owner>/<point>`. */
export class TopicMap {
  readonly #mapped = new Map<string, TopicTarget[]>();
  /** By `<group>/<edge node>`. */
  readonly #sparkplug = new Map<string, SparkplugTarget[]>();
  /** By the topic on which a device says that it is gone. */
  readonly #status = new Map<string, { gone: string; target: TopicTarget }[]>();
  readonly #ownerKinds = new Map<string, string>();
  readonly #prefix: string;
  readonly #site: string;

  constructor(config: SiteConfig) {
    this.#site = config.site.id;
    this.#prefix = `potside/${config.site.id}/`;
    const owners = [{ id: config.site.id, points: config.points }, ...config.compressors, ...config.rigs];
    for (const owner of owners) {
      for (const [point, source] of Object.entries(owner.points)) {
        this.#map({ owner: owner.id, point, kind: needPointKind(point), source });
      }
    }
    this.#ownerKinds.set(config.site.id, 'site');
    for (const compressor of config.compressors) this.#ownerKinds.set(compressor.id, 'compressor');
    for (const rig of config.rigs) this.#ownerKinds.set(rig.id, 'rig');
  }

  /** The points a topic feeds; empty for a topic nobody knows. */
  targets(topic: string): readonly TopicTarget[] {
    return this.#mapped.get(topic) ?? this.#byDefault(topic);
  }

  /** What to subscribe to at a broker that is not ours. */
  filters(): string[] {
    return [...new Set([...this.#mapped.keys(), ...this.#status.keys()]), `${this.#prefix}+/+`, replayTopic(this.#site), ...this.sparkplugNodes().flatMap((node) => sparkplugFilters(node))];
  }

  /** Edge nodes that feed a point, as `<group>/<edge node>`. */
  sparkplugNodes(): string[] {
    return [...this.#sparkplug.keys()];
  }

  /** Where a message of such an edge node goes; null for any other topic. */
  sparkplug(topic: string): SparkplugRoute | null {
    const at = this.#sparkplug.size === 0 ? null : parseSparkplugTopic(topic);
    const mapped = at && this.#sparkplug.get(at.node);
    if (!mapped) return null;
    return { at, targets: mapped.filter(({ device }) => device === at.device).map(({ target }) => target), all: mapped.map(({ target }) => target) };
  }

  /** The points of which this message says that their device is gone; null where the topic is no device's status. */
  gone(topic: string, payload: Uint8Array): readonly TopicTarget[] | null {
    const told = this.#status.get(topic);
    if (!told) return null;
    const text = payload.byteLength > 64 ? '' : Buffer.from(payload).toString('utf8');
    return told.filter(({ gone }) => gone === text).map(({ target }) => target);
  }

  #map(target: TopicTarget & { readonly source: PointSource }): void {
    const { status } = target.source;
    if (status) push(this.#status, status.topic, { gone: status.gone, target });
    const { topic, payload } = target.source;
    if (payload === 'sparkplug') {
      const [group = '', edge = '', device = ''] = topic.split('/');
      push(this.#sparkplug, `${group}/${edge}`, { device, target });
    } else push(this.#mapped, topic, target);
  }

  #byDefault(topic: string): TopicTarget[] {
    if (!topic.startsWith(this.#prefix)) return [];
    const [owner = '', point = '', ...more] = topic.slice(this.#prefix.length).split('/');
    const kind = findPointKind(point);
    if (more.length > 0 || !kind || kind.origin !== 'measured' || this.#ownerKinds.get(owner) !== kind.owner) return [];
    return [{ owner, point, kind, source: null }];
  }
}

function push<T>(lists: Map<string, T[]>, key: string, item: T): void {
  const list = lists.get(key) ?? [];
  list.push(item);
  lists.set(key, list);
}

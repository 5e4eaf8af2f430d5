import { findPointKind, needPointKind, type PointKind } from '../domain/points/catalogue.ts';
import type { PointSource, SiteConfig } from '../domain/shift/site-config.ts';

/** One point that a topic feeds. `source` is null for the default form on a default topic. */
export interface TopicTarget {
  readonly owner: string;
  readonly point: string;
  readonly kind: PointKind;
  readonly source: PointSource | null;
}

/** Which points a topic feeds: by the configuration, else by the default form `potside/<site>/<owner>/<point>`. */
export class TopicMap {
  readonly #mapped = new Map<string, TopicTarget[]>();
  readonly #ownerKinds = new Map<string, string>();
  readonly #prefix: string;

  constructor(config: SiteConfig) {
    this.#prefix = `potside/${config.site.id}/`;
    const owners = [{ id: config.site.id, points: config.points }, ...config.compressors, ...config.rigs];
    for (const owner of owners) {
      for (const [point, source] of Object.entries(owner.points)) {
        const targets = this.#mapped.get(source.topic) ?? [];
        targets.push({ owner: owner.id, point, kind: needPointKind(point), source });
        this.#mapped.set(source.topic, targets);
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
    return [...this.#mapped.keys(), `${this.#prefix}+/+`];
  }

  #byDefault(topic: string): TopicTarget[] {
    if (!topic.startsWith(this.#prefix)) return [];
    const [owner = '', point = '', ...more] = topic.slice(this.#prefix.length).split('/');
    const kind = findPointKind(point);
    if (more.length > 0 || !kind || kind.origin !== 'measured' || this.#ownerKinds.get(owner) !== kind.owner) return [];
    return [{ owner, point, kind, source: null }];
  }
}

import { randomUUID } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { SiteConfig } from '../domain/shift/site-config.ts';
import type { Effects } from '../domain/site/site-effects.ts';
import type { Clock } from '../host/clock.ts';
import type { Log } from '../host/log.ts';
import type { Site } from './intake/site.ts';
import { SiteWriter } from './intake/site-writer.ts';
import { SharedSites } from './peers/shared-sites.ts';
import type { Store } from './record/store.ts';

export interface OpenSitesOptions {
  readonly configs: readonly SiteConfig[];
  readonly store: Store;
  readonly clock: Clock;
  readonly log: Log;
  readonly dataDir: string;
  readonly onCommitted: (site: Site, effects: readonly Effects[]) => void;
  /** Told of readings that another server took in. */
  readonly onRead: (site: string) => void;
  /** A site is judged and written here from now on. */
  readonly onOurs: (site: Site) => Promise<void>;
}

export interface OpenSites {
  readonly all: ReadonlyMap<string, Site>;
  /** Null where this process is the only one that can write to the record. */
  readonly shared: SharedSites | null;
  /** Puts the configurations into force: of all sites, or of those that no other server has. */
  start(): Promise<void>;
}

/** Rebuilds the sites from the record. In a database that several servers can share, each site is with one of them. */
export async function openSites(options: OpenSitesOptions): Promise<OpenSites> {
  const { store, clock, log, onCommitted, onRead, onOurs } = options;
  const all = new Map<string, Site>();
  const { leases } = store;
  if (!leases) {
    for (const { site } of options.configs) all.set(site.id, await SiteWriter.open({ siteId: site.id, store, clock, log, onCommitted }));
    const start = async (): Promise<void> => {
      for (const config of options.configs) await all.get(config.site.id)?.configure(config);
      for (const site of all.values()) await onOurs(site);
    };
    return { all, shared: null, start };
  }
  await leases.begin(homeOf(options.dataDir));
  const shared = new SharedSites({ leases, log, onOurs });
  for (const config of options.configs) all.set(config.site.id, await shared.open(config, { store, clock, log, onCommitted, onRead }));
  return { all, shared, start: () => shared.start() };
}

/** Names a data directory for good, so that a program started anew in it does not wait for the one before. */
function homeOf(dataDir: string): string {
  const file = join(dataDir, 'server-id');
  if (!existsSync(file)) writeFileSync(file, randomUUID());
  return readFileSync(file, 'utf8').trim();
}

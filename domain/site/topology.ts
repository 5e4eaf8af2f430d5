import type { OwnerSetup } from '../points/computed/computed-point.ts';
import type { OwnerKind } from '../points/catalogue.ts';
import type { RuleOwner } from '../alarms/bind-rules.ts';
import type { SiteConfig } from '../shift/site-config.ts';

/** One thing that owns points: a rig, a compressor or the site itself. */
export interface Owner extends RuleOwner {
  readonly id: string;
  readonly kind: OwnerKind;
  readonly name: string;
  /** Where its inputs are looked for, nearest first: a rig sees its compressor's and its site's points too. */
  readonly sees: readonly string[];
  readonly setup: OwnerSetup;
}

/** Who owns what on a site, and who sees whom; derived from the configuration alone. */
export interface Topology {
  readonly siteId: string;
  readonly owners: ReadonlyMap<string, Owner>;
  /** Owner → names of the timers that compute what may depend on its points. */
  readonly computeTimers: ReadonlyMap<string, readonly string[]>;
}

export function layOut(config: SiteConfig): Topology {
  const siteId = config.site.id;
  const setup: OwnerSetup = { elevation: config.site.elevation, hose: null, nozzle: null, ratedFlow: null, intakeBearing: null };
  const plain = { vesselRating: null, wantedLow: null, setup };
  const owners = new Map<string, Owner>();
  owners.set(siteId, { id: siteId, kind: 'site', name: config.site.name, sees: [siteId], ...plain });
  for (const compressor of config.compressors) {
    owners.set(compressor.id, { id: compressor.id, kind: 'compressor', name: compressor.name, sees: [compressor.id, siteId], ...plain, setup: { ...setup, ratedFlow: compressor.ratedFlow, intakeBearing: compressor.intakeBearing === null ? null : (compressor.intakeBearing * Math.PI) / 180 } });
  }
  for (const rig of config.rigs) {
    owners.set(rig.id, {
      id: rig.id,
      kind: 'rig',
      name: rig.name,
      sees: [rig.id, ...config.compressors.filter((c) => c.serves.includes(rig.id)).map((c) => c.id), siteId],
      vesselRating: rig.vessel?.ratedPressure ?? null,
      wantedLow: rig.wanted?.low ?? null,
      setup: { ...setup, hose: rig.hose, nozzle: rig.nozzle },
    });
  }
  const computeTimers = new Map<string, string[]>();
  for (const owner of owners.values()) {
    for (const seen of owner.sees) computeTimers.set(seen, [...(computeTimers.get(seen) ?? []), `compute ${owner.id}`]);
  }
  return { siteId, owners, computeTimers };
}

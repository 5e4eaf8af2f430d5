import { abrasiveRate, timeToEmptyPot } from '../air/pot-endurance.ts';
import { nozzleMassFlow } from '../air/nozzle-flow.ts';
import { atmosphereAt, gauge } from '../quantity/pressure.ts';
import type { OwnerSetup } from '../points/computed/computed-point.ts';
import type { OwnerKind } from '../points/catalogue.ts';
import type { RuleOwner } from '../alarms/bind-rules.ts';
import type { ReadyStep } from '../shift/readiness/step.ts';
import { stepsOf } from '../shift/readiness/steps-of.ts';
import type { RigConfig, SiteConfig } from '../shift/site-config.ts';

/** One thing that owns points: a rig, a compressor or the site itself. */
export interface Owner extends RuleOwner {
  readonly id: string;
  readonly kind: OwnerKind;
  readonly name: string;
  /** Where its inputs are looked for, nearest first: a rig sees its compressor's and its site's points too. */
  readonly sees: readonly string[];
  readonly setup: OwnerSetup;
  /** Rigs on a compressor; none for others. */
  readonly serves: readonly string[];
  readonly hasOwnCompressor: boolean;
  /** Rigs on the same compressor, itself among them; of a compressor its rigs. */
  readonly neighbours: readonly string[];
  /** Of a rig: the steps of its lists, the site's own among them. */
  readonly readySteps: readonly ReadyStep[];
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
  const regime = config.regime ?? 'US';
  const plain = { regime, vesselRating: null, wantedLow: null, respirator: null, potEnduranceS: null, setup, serves: [], hasOwnCompressor: false, neighbours: [], readySteps: [] };
  const owners = new Map<string, Owner>();
  owners.set(siteId, { id: siteId, kind: 'site', name: config.site.name, sees: [siteId], ...plain });
  for (const compressor of config.compressors) {
    owners.set(compressor.id, { id: compressor.id, kind: 'compressor', name: compressor.name, sees: [compressor.id, siteId], ...plain, serves: compressor.serves, neighbours: compressor.serves, setup: { ...setup, ratedFlow: compressor.ratedFlow, intakeBearing: compressor.intakeBearing === null ? null : (compressor.intakeBearing * Math.PI) / 180 } });
  }
  const readySteps = stepsOf(config.ready);
  for (const rig of config.rigs) {
    owners.set(rig.id, {
      id: rig.id,
      kind: 'rig',
      name: rig.name,
      sees: [rig.id, ...config.compressors.filter((c) => c.serves.includes(rig.id)).map((c) => c.id), siteId],
      regime,
      readySteps,
      serves: [],
      neighbours: [...new Set([rig.id, ...config.compressors.filter(({ serves }) => serves.includes(rig.id)).flatMap(({ serves }) => serves)])],
      hasOwnCompressor: config.compressors.some(({ serves }) => serves.length === 1 && serves[0] === rig.id),
      respirator: rig.respirator ?? null,
      potEnduranceS: potEndurance(config.site.elevation, rig),
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

const PSI = 6894.757293168361;
/** Mineral abrasive as poured, kg/m³ (common practice, no source). */
const BULK_DENSITY = 1600;

/** Seconds that a full pot lasts at 100 psi; null where vessel or nozzle are not given. */
function potEndurance(elevation: number, { vessel, nozzle }: RigConfig): number | null {
  if (!vessel?.volume || !nozzle) return null;
  const flow = nozzleMassFlow({ bore: nozzle.bore, pressure: gauge(100 * PSI), atmosphere: atmosphereAt(elevation) });
  const { low, high } = abrasiveRate(flow);
  const usual = (low + high) / 2;
  return timeToEmptyPot(vessel.volume * BULK_DENSITY, { low: usual, high: usual }, 0).low;
}

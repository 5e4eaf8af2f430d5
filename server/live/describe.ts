import { onGrid } from '../../domain/points/reading.ts';
import type { PointState } from '../../domain/site/point-state.ts';
import type { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { LiveDrill, LiveNeedle, LivePoint, LiveRig, LiveShift, LiveSite, Margin } from '../../domain/wire/live.ts';

/** The state of a site in the words of the wire. Reads the evaluator, keeps nothing. */

export function describePoint(state: SiteEvaluator, point: PointState): LivePoint {
  const limits = limitsOf(state, point);
  return {
    owner: point.owner,
    id: point.kind.id,
    value: point.value,
    unit: point.kind.unit,
    quality: point.quality,
    reason: point.reason,
    atMs: point.observedAtMs,
    margin: nearestMargin(limits, point),
    limits,
  };
}

type PointLimit = LivePoint['limits'][number];

/** The limits that the point's alarms judge it by; a limit of several values together is none of this one's. */
function limitsOf(state: SiteEvaluator, point: PointState): PointLimit[] {
  return state.alarmsOn(point.key).flatMap(({ bound, watched }): PointLimit[] => {
    const { condition } = bound.rule;
    if (!watched || bound.limit === null) return [];
    if (condition.kind === 'outside') return [{ limit: bound.limit, side: 'low' }, { limit: condition.high, side: 'high' }];
    return [{ limit: bound.limit, side: condition.kind === 'below' ? 'low' : 'high' }];
  });
}

function nearestMargin(limits: readonly PointLimit[], { value, kind }: PointState): Margin | null {
  if (value === null) return null;
  const margins = limits.map(({ limit, side }) => ({ limit, side, distance: onGrid(side === 'low' ? value - limit : limit - value, kind.resolution) }));
  return margins.reduce<Margin | null>((nearest, margin) => (nearest && nearest.distance <= margin.distance ? nearest : margin), null);
}

export function describeSite(state: SiteEvaluator, more: Pick<LiveSite, 'demo' | 'replay' | 'recording' | 'gatewayAtMs'>): LiveSite | null {
  const { config } = state;
  if (!config) return null;
  return {
    id: config.site.id,
    name: config.site.name,
    zone: config.site.zone,
    compressors: config.compressors.map(({ id, name, serves }) => ({ id, name, serves })),
    rigs: config.rigs.map((rig) => ({
      id: rig.id,
      name: rig.name,
      site: config.site.id,
      compressor: config.compressors.find((compressor) => compressor.serves.includes(rig.id))?.id ?? null,
      vesselRating: rig.vessel?.ratedPressure ?? null,
      wanted: rig.wanted ? [rig.wanted.low, rig.wanted.high] : null,
      built: rig.built,
      line: describeLine(state, rig.id),
      needle: describeNeedle(state, rig.id),
      shift: describeShift(state, rig.id),
      underHood: state.situation(rig.id).underHood,
      bumpTestUntilMs: state.situation(rig.id).bumpTestUntilMs,
    })),
    language: config.site.language ?? 'en',
    training: config.site.training,
    drill: describeDrill(state),
    ...more,
  };
}

/** With what was changed on the shift, not only as configured. */
function describeLine({ topology }: SiteEvaluator, rig: string): LiveRig['line'] {
  const setup = topology?.owners.get(rig)?.setup;
  const { hose = null, nozzle = null } = setup ?? {};
  return { elevation: setup?.elevation ?? 0, hose: hose && { bore: hose.bore, length: hose.length }, nozzle: nozzle && { bore: nozzle.bore } };
}

function describeNeedle(state: SiteEvaluator, rig: string): LiveNeedle | null {
  const { needle, baseline } = state.situation(rig);
  if (!needle) return null;
  // What an earlier reading found says nothing of this one.
  const then = baseline?.atMs === needle.atMs ? baseline : null;
  return { ...needle, residual: then?.residual ?? null, supplyLoss: then?.supplyLoss ?? null };
}

function describeDrill({ siteSituation: { drill } }: SiteEvaluator): LiveDrill | null {
  return drill && { scenario: drill.scenario, startedAtMs: drill.startedAtMs, startedBy: drill.startedBy };
}

function describeShift(state: SiteEvaluator, rig: string): LiveShift | null {
  const open = state.shifts.find((shift) => shift.rig === rig);
  return open ? { id: open.id, rig: open.rig, startedAtMs: open.startedAtMs, startedBy: open.startedBy } : null;
}

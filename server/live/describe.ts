import { PRIORITIES } from '../../domain/alarms/alarm.ts';
import { alarmTitle } from '../../domain/alarms/alarm-title.ts';
import { needPointKind } from '../../domain/points/catalogue.ts';
import { onGrid } from '../../domain/points/reading.ts';
import type { PointState } from '../../domain/site/point-state.ts';
import type { SiteAlarm } from '../../domain/site/site-alarms.ts';
import type { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { LiveAlarm, LivePoint, LiveSite, Margin } from '../../domain/wire/live.ts';

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

/** The limits that the point's alarms judge it by. */
function limitsOf(state: SiteEvaluator, point: PointState): PointLimit[] {
  return state.alarmsOn(point.key).flatMap(({ bound }): PointLimit[] =>
    bound.limit === null ? [] : [{ limit: bound.limit, side: bound.rule.condition.kind === 'below' ? 'low' : 'high' }],
  );
}

function nearestMargin(limits: readonly PointLimit[], { value, kind }: PointState): Margin | null {
  if (value === null) return null;
  const margins = limits.map(({ limit, side }) => ({ limit, side, distance: onGrid(side === 'low' ? value - limit : limit - value, kind.resolution) }));
  return margins.reduce<Margin | null>((nearest, margin) => (nearest && nearest.distance <= margin.distance ? nearest : margin), null);
}

/** An alarm that stands. */
export function describeAlarm(state: SiteEvaluator, { bound, track }: SiteAlarm): LiveAlarm | null {
  const { occurrence } = track;
  if (!occurrence) return null;
  const { rule, owner, point } = bound;
  return {
    id: occurrence.id,
    name: rule.name,
    title: alarmTitle(rule, point),
    site: state.config?.site.id ?? '',
    rig: state.topology?.owners.get(owner)?.kind === 'rig' ? owner : null,
    owner,
    point,
    priority: rule.priority,
    state: occurrence.state,
    raisedAtMs: occurrence.raisedAtMs,
    clearedAtMs: occurrence.clearedAtMs,
    acknowledgedAtMs: occurrence.acknowledgedAtMs,
    acknowledgedBy: occurrence.acknowledgedBy,
    sound: rule.priority === 'low' ? 'none' : point.startsWith('breathing-air') ? 'air' : 'other',
    silencedAtRig: false,
    silencedAtRigBy: null,
    out: 'not-needed',
    outConfirmedAtMs: null,
    outConfirmedBy: null,
    latched: rule.latched,
    shelved: null,
    outOfService: null,
    suppressedBecause: null,
    shelvableBy: 'supervisor',
    group: null,
    firstOut: false,
    order: null,
    offsetMs: null,
    alwaysShown: false,
    chattering: false,
    value: occurrence.value,
    limit: occurrence.limit,
    unit: needPointKind(point).unit,
    cause: rule.cause,
    consequence: rule.consequence,
    response: rule.response,
    respondWithin: rule.respondWithin,
    limitSource: rule.limitSource,
  };
}

/** Alarms that stand: those nobody has taken first, then by priority, then the newest. */
export function standingAlarms(state: SiteEvaluator): LiveAlarm[] {
  const standing = [...state.alarms()].map((alarm) => describeAlarm(state, alarm)).filter((alarm) => alarm !== null);
  const isTaken = (alarm: LiveAlarm): number => (alarm.acknowledgedAtMs === null ? 0 : 1);
  return standing.toSorted((a, b) => isTaken(a) - isTaken(b) || PRIORITIES.indexOf(a.priority) - PRIORITIES.indexOf(b.priority) || b.raisedAtMs - a.raisedAtMs);
}

export function describeSite(state: SiteEvaluator, more: Pick<LiveSite, 'demo' | 'recording' | 'gatewayAtMs'>): LiveSite | null {
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
      shift: state.shifts.find((shift) => shift.rig === rig.id) ?? null,
      underHood: [],
      bumpTestUntilMs: null,
    })),
    ...more,
  };
}

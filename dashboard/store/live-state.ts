import type { LiveAlarm, LiveAlarms, LiveFlood, LivePoint, LiveSite, LiveSites, LiveSnapshot, LiveUpdate } from '../../domain/wire/live.ts';
import { type PointKey, pointKey } from '../../domain/points/reading.ts';

/** Everything the server last told, as it told it. Replaced, never changed in place; a point that did not change stays the same object. */
export interface LiveState {
  readonly sites: readonly LiveSite[];
  readonly points: ReadonlyMap<PointKey, LivePoint>;
  readonly alarms: readonly LiveAlarm[];
  /** Sites that have more alarms than anybody reads. */
  readonly floods: Readonly<Record<string, LiveFlood>>;
}

export const NOTHING_YET: LiveState = { sites: [], points: new Map(), alarms: [], floods: {} };

export function fromSnapshot(snapshot: LiveSnapshot): LiveState {
  return { sites: snapshot.sites, points: new Map(snapshot.points.map((p) => [pointKey(p.owner, p.id), p])), alarms: snapshot.alarms, floods: snapshot.floods };
}

export function withPoints(state: LiveState, update: LiveUpdate): LiveState {
  if (update.points.length === 0) return state;
  const points = new Map(state.points);
  for (const point of update.points) points.set(pointKey(point.owner, point.id), point);
  return { ...state, points };
}

/** The push holds all standing alarms of its site; those of other sites stay. */
export function withAlarms(state: LiveState, push: LiveAlarms): LiveState {
  const { [push.site]: _before, ...others } = state.floods;
  const floods = push.flood ? { ...others, [push.site]: push.flood } : others;
  return { ...state, alarms: [...state.alarms.filter((alarm) => alarm.site !== push.site), ...push.alarms], floods };
}

export function withSites(state: LiveState, push: LiveSites): LiveState {
  return { ...state, sites: push.sites };
}

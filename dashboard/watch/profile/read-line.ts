import type { AlarmPriority } from '../../../domain/alarms/alarm.ts';
import type { PointKey } from '../../../domain/points/reading.ts';
import type { LiveAlarm, LivePoint, LiveRig } from '../../../domain/wire/live.ts';
import { findRigPoint } from '../../link/site-facts.ts';
import { isCausePresent } from '../../alarms/alarm-state.ts';

export type StationId = 'compressor' | 'separator' | 'machine' | 'nozzle';

/** A place along the air path where pressure is, or could be, measured. */
export interface Station {
  readonly id: StationId;
  readonly point: LivePoint | undefined;
  /** Good readings only, psi gauge. */
  readonly psi: number | null;
  /** Standing alarm of this very place. */
  readonly priority: AlarmPriority | null;
}

/**
 * A stretch between two stations. `open`: one end isn't known, nothing may be drawn across. `shut`: the handle is released, so
 * what the ends differ by is no loss.
 */
export interface Segment {
  readonly from: StationId;
  readonly to: StationId;
  readonly kind: 'joined' | 'open' | 'shut';
  readonly lossPsi: number | null;
  /** The alarm that this stretch explains, if any. */
  readonly alarm: LiveAlarm | null;
}

export interface AirLine {
  readonly stations: readonly Station[];
  readonly segments: readonly Segment[];
  readonly blasting: boolean | null;
  /** Computed from the rig as built; good only. */
  readonly expectedNozzlePsi: number | null;
}

const POINTS: Readonly<Record<StationId, string>> = {
  compressor: 'compressor-pressure',
  separator: 'separator-pressure',
  machine: 'supply-pressure',
  nozzle: 'nozzle-pressure',
};

/** Less than this below expectation is within what two gauges can tell. */
const EXPECTED_WITHIN_PSI = 4;

/** What is known of a rig's air path now. Pure. */
export function readLine(rig: LiveRig, points: ReadonlyMap<PointKey, LivePoint>, alarms: readonly LiveAlarm[]): AirLine {
  const value = (id: string): number | null => goodValue(findRigPoint(points, rig, id));
  const blasting = value('blasting');
  const expectedNozzlePsi = value('expected-nozzle-pressure');
  const standing = alarms.filter((alarm) => isCausePresent(alarm.state));
  const stations = (Object.keys(POINTS) as StationId[])
    .map((id) => readStation(id, findRigPoint(points, rig, POINTS[id]), standing))
    // Few rigs measure behind the separator; a hole there would hide the loss of the whole supply side.
    .filter((station) => station.id !== 'separator' || station.point !== undefined);
  const line = { stations, blasting: blasting === null ? null : blasting > 0, expectedNozzlePsi };
  return { ...line, segments: readSegments(line, rig, standing) };
}

function readStation(id: StationId, point: LivePoint | undefined, standing: readonly LiveAlarm[]): Station {
  const alarm = standing.find((a) => point !== undefined && a.owner === point.owner && a.point === point.id);
  return { id, point, psi: goodValue(point), priority: alarm?.priority ?? null };
}

function goodValue(point: LivePoint | undefined): number | null {
  return point?.quality === 'good' ? point.value : null;
}

function readSegments(line: Omit<AirLine, 'segments'>, rig: LiveRig, standing: readonly LiveAlarm[]): readonly Segment[] {
  const blamed = blameSegment(line, rig, standing);
  return line.stations.slice(1).map((to, index) => {
    const from = line.stations[index] as Station;
    const isKnown = from.psi !== null && to.psi !== null;
    const isShut = to.id === 'nozzle' && line.blasting === false;
    return {
      from: from.id,
      to: to.id,
      kind: isShut ? 'shut' : isKnown ? 'joined' : 'open',
      lossPsi: isKnown && !isShut ? (from.psi) - (to.psi) : null,
      alarm: blamed?.to === to.id ? blamed.alarm : null,
    };
  });
}

/**
 * Which stretch a low pressure is lost in. A low nozzle is explained by the hose only where the nozzle is below what the supply
 * would give; where it is as expected, the supply itself has fallen. An alarm stands on for its off-delay when the pressure is back:
 * then nothing is lost any more, and no stretch is named.
 */
function blameSegment(line: Omit<AirLine, 'segments'>, rig: LiveRig, standing: readonly LiveAlarm[]): { to: StationId; alarm: LiveAlarm } | null {
  const isLow = (a: LiveAlarm, place: StationId): boolean => {
    if (a.owner !== rig.id || a.point !== POINTS[place] || a.value === null || a.limit === null || a.value >= a.limit) return false;
    const now = line.stations.find((s) => s.id === place)?.psi ?? null;
    return now === null || now < a.limit;
  };
  const supply = standing.find((a) => isLow(a, 'machine'));
  if (supply) return { to: 'machine', alarm: supply };
  const isHose = !isAsExpected(line);
  const nozzle = standing.find((a) => isLow(a, 'nozzle'));
  if (nozzle) return { to: isHose ? 'nozzle' : 'machine', alarm: nozzle };
  // It is of the hose alone: where that gives what it should, it is over.
  const loss = standing.find((a) => a.owner === rig.id && a.point === 'line-loss');
  return loss && isHose ? { to: 'nozzle', alarm: loss } : null;
}

/** The nozzle has what the rig as built gives for this supply. False where either isn't known. */
export function isAsExpected(line: Omit<AirLine, 'segments'>): boolean {
  const nozzlePsi = line.stations.find((s) => s.id === 'nozzle')?.psi ?? null;
  return line.expectedNozzlePsi !== null && nozzlePsi !== null && nozzlePsi >= line.expectedNozzlePsi - EXPECTED_WITHIN_PSI;
}

import { needPointKind } from '../../../domain/points/catalogue.ts';
import type { QualityReason } from '../../../domain/points/reading.ts';
import type { LiveAlarm, LivePoint, LiveRig, LiveSite, Margin } from '../../../domain/wire/live.ts';

/** Made-up states of a site with two rigs, in the exact shapes of the wire, for looking at the page without a server. */
export const SITE = 'quay-4';

const BUILT = ['7/16 in nozzle, 100 ft of 1 1/4 in hose', '3/8 in nozzle, 150 ft of 1 1/4 in hose'] as const;

/** `rig-a`, `rig-b` and so on, twelve at most. */
export function rigIds(count: number): string[] {
  return [...'abcdefghijkl'].slice(0, count).map((letter) => `rig-${letter}`);
}

export function fabricatedSite(nowMs: number, changes: Partial<LiveSite> = {}, rigCount = 2): LiveSite {
  const rig = (id: string, name: string, built: string): LiveRig => ({
    id, name, built, site: SITE, line: { elevation: 180, hose: { bore: 0.03175, length: 30.48 }, nozzle: { bore: id === 'rig-a' ? 0.0111125 : 0.009525 } },
    needle: id === 'rig-a' ? { atMs: nowMs - 95 * 60_000, nozzle: 94, supply: 105, residual: 0.6, supplyLoss: 10 } : null, compressor: 'comp-1', vesselRating: 125, wanted: [90, 105],
    shift: { id: `shift-${id}`, rig: id, startedAtMs: nowMs - 3.7 * 3_600_000, startedBy: 'R. Calder' },
    underHood: id === 'rig-a' ? [{ name: 'J. Ortega', sinceMs: nowMs - 40 * 60_000 }] : [], bumpTestUntilMs: null,
  });
  return {
    id: SITE, name: 'Quay 4 gates', zone: 'America/Chicago',
    compressors: [{ id: 'comp-1', name: 'Compressor 1', serves: rigIds(rigCount) }],
    rigs: rigIds(rigCount).map((id, index) => rig(id, `Rig ${id.slice(-1).toUpperCase()}`, BUILT[index % 2] as string)),
    demo: true, training: false, drill: null, replay: null, recording: true, gatewayAtMs: nowMs, ...changes,
  };
}

type Limit = [limit: number, side: 'high' | 'low'];

/** `limits`: the nearest first. */
export function point(owner: string, id: string, value: number | null, atMs: number, ...limits: Limit[]): LivePoint {
  const [nearest] = limits;
  return {
    owner, id, value, unit: needPointKind(id).unit, quality: 'good', reason: null, atMs,
    margin: nearest && value !== null ? marginOf(value, ...nearest) : null,
    limits: limits.map(([limit, side]) => ({ limit, side })),
  };
}

export function notGood(good: LivePoint, reason: QualityReason): LivePoint {
  return { ...good, quality: 'bad', reason, margin: null };
}

function marginOf(value: number, limit: number, side: 'high' | 'low'): Margin {
  const distance = side === 'high' ? limit - value : value - limit;
  return { limit, side, distance: Math.round(distance * 10) / 10 };
}

export interface RigNow {
  readonly isBlasting: boolean;
  readonly coPpm: number;
  /** Beyond what the hose takes anyway. */
  readonly extraLossPsi: number;
}

/** All points of the site at one instant; a slow wobble stands for a living line. */
export function fabricatedPoints(nowMs: number, rigs: Readonly<Record<string, RigNow>>): LivePoint[] {
  const wobble = (size: number, periodS: number): number => size * Math.sin((nowMs / 1000 / periodS) * 2 * Math.PI);
  const r = (value: number): number => Math.round(value * 10) / 10;
  const slowMs = Math.floor(nowMs / 10_000) * 10_000;
  const site = [
    point(SITE, 'ambient-temperature', 18.1, slowMs), point(SITE, 'ambient-humidity', r(71 + wobble(1, 300)), slowMs, [85, 'high']),
    point(SITE, 'ambient-dew-point', 13.8, slowMs), point(SITE, 'wind-speed', r(4 + wobble(0.6, 40)), slowMs), point(SITE, 'wind-direction', 268, slowMs),
    point('comp-1', 'compressor-pressure', r(112 + wobble(1.5, 25)), nowMs), point('comp-1', 'compressor-temperature', 84, slowMs), point('comp-1', 'intake-in-plume', 0, slowMs),
  ];
  return [...site, ...Object.entries(rigs).flatMap(([id, rig]) => {
    const supply = r(rig.isBlasting ? 105 + wobble(1.2, 17) : 110 + wobble(0.5, 30));
    const nozzle = r(rig.isBlasting ? supply - 9 - rig.extraLossPsi + wobble(0.6, 9) : 0);
    return [
      point(id, 'supply-pressure', supply, nowMs, [125, 'high'], [60, 'low']),
      point(id, 'nozzle-pressure', nozzle, nowMs, ...(rig.isBlasting ? [[85, 'low'] as Limit] : [])),
      point(id, 'expected-nozzle-pressure', rig.isBlasting ? r(supply - 10) : null, nowMs),
      point(id, 'line-loss', r(supply - nozzle), nowMs),
      point(id, 'breathing-air-co', r(rig.coPpm + wobble(0.4, 50)), nowMs, [10, 'high']),
      point(id, 'breathing-air-pressure', r(62 + wobble(0.8, 21)), nowMs, [40, 'low'], [100, 'high']),
      point(id, 'remote-control', rig.isBlasting ? 1 : 0, nowMs), point(id, 'blasting', rig.isBlasting ? 1 : 0, nowMs),
      point(id, 'nozzle-stop', 1.8, nowMs - 720_000),
      point(id, 'steel-temperature', 18.4, slowMs), point(id, 'steel-margin', 4.6, slowMs, [3, 'low']),
      point(id, 'air-line-dew-point', 2.5, slowMs), point(id, 'line-atmospheric-dew-point', -24.1, slowMs),
    ];
  })];
}

export function fabricatedAlarm(changes: Partial<LiveAlarm> & Pick<LiveAlarm, 'id' | 'name' | 'title' | 'point' | 'priority' | 'raisedAtMs'>): LiveAlarm {
  return {
    site: SITE, rig: 'rig-a', owner: 'rig-a', state: 'unacknowledged', clearedAtMs: null, acknowledgedAtMs: null, acknowledgedBy: null,
    sound: 'other', silencedAtRig: false, silencedAtRigBy: null, out: 'not-needed', outConfirmedAtMs: null, outConfirmedBy: null, latched: false,
    shelved: null, outOfService: null, suppressedBecause: null, shelvableBy: 'supervisor', group: null, firstOut: false, order: null, offsetMs: null,
    alwaysShown: false, chattering: false, drill: false, limitSource: 'common practice, no source',
    value: null, limit: null, unit: needPointKind(changes.point).unit, cause: 'A likely cause stands here.', consequence: 'What follows stands here.',
    response: 'What to do first stands here.', respondWithin: '15 min', ...changes,
  };
}

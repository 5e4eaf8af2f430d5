import type { LiveAlarm } from '../../../domain/wire/live.ts';
import { fabricatedAlarm, rigIds } from './fabricated-site.ts';

/** Made-up lists of alarms for the Alarms screen. */
export const CO = { name: 'co-high', title: 'Carbon monoxide high in the breathing air', point: 'breathing-air-co', priority: 'critical', value: 12.5, limit: 10, sound: 'air',
  latched: true, alwaysShown: true, shelvableBy: 'safety-officer', out: 'awaited', limitSource: 'US regime: 10 ppm, 29 CFR 1910.134(i), Grade D',
  cause: 'Engine exhaust drawn into the compressor intake, or a compressor running hot.', consequence: 'The blaster breathes carbon monoxide: headache, confusion, collapse.',
  response: 'Signal the blaster. Let go of the handle. Walk to clean air, hood off there. Then look to the compressor.', respondWithin: 'at once' } as const;
export const NOZZLE = { name: 'nozzle-pressure-low', title: 'Nozzle pressure low', point: 'nozzle-pressure', priority: 'medium', value: 81.2, limit: 85,
  cause: 'Rich mix, choke partly shut, kinked hose, worn gasket or nozzle, or supply falling.', consequence: 'Work slows and the profile on the steel comes out shallow.',
  response: 'Check with the needle gauge. See which part of the line lost it.', respondWithin: '15 min' } as const;
const TRIP = { name: 'compressor-tripped', title: 'Compressor tripped', point: 'compressor-pressure', priority: 'high', rig: null, owner: 'comp-1', value: 38, limit: 60,
  cause: 'Fuel, overheating, overload, or somebody stopped it.', consequence: 'Breathing air on all four rigs lasts as long as the receiver: seconds while blasting.',
  response: 'Signal every blaster on this compressor. Let go of the handles. Walk to clean air, hoods off there.', respondWithin: '10 s' } as const;
const SUPPLY = { name: 'supply-pressure-low', title: 'Supply pressure low', point: 'supply-pressure', priority: 'medium', value: 58, limit: 60,
  cause: 'Compressor down, or too many rigs on it.', response: 'Stop blasting. See to the compressor.', respondWithin: '5 min' } as const;
const AIR_LOW = { name: 'breathing-pressure-low', title: 'Breathing air pressure low', point: 'breathing-air-pressure', priority: 'critical', value: 38, limit: 40, sound: 'air',
  latched: true, alwaysShown: true, shelvableBy: 'safety-officer', out: 'awaited', cause: 'Supply falling, filter blocked, hose kinked.', consequence: 'The hood no longer keeps dust out.',
  response: 'Signal the blaster. Let go of the handle. Walk to clean air, hood off there.', respondWithin: '10 s' } as const;
const HUMIDITY = { name: 'humidity', title: 'Humidity high', point: 'ambient-humidity', priority: 'low', rig: null, owner: 'quay-4', sound: 'none', value: 86, limit: 85,
  cause: 'Weather.', response: 'Watch the steel’s margin to the dew point.', respondWithin: 'this shift' } as const;

export function mixedList(nowMs: number): LiveAlarm[] {
  return [
    fabricatedAlarm({ ...NOZZLE, id: 'n1', raisedAtMs: nowMs - 130_000, chattering: true }),
    fabricatedAlarm({ ...CO, id: 'c1', raisedAtMs: nowMs - 8_000 }),
    fabricatedAlarm({ ...CO, id: 'c2', rig: 'rig-b', owner: 'rig-b', raisedAtMs: nowMs - 900_000, clearedAtMs: nowMs - 500_000, state: 'latched-acknowledged', acknowledgedBy: 'R. Calder', acknowledgedAtMs: nowMs - 880_000, out: 'confirmed', outConfirmedBy: 'R. Calder', outConfirmedAtMs: nowMs - 840_000 }),
    fabricatedAlarm({ ...HUMIDITY, id: 'h1', raisedAtMs: nowMs - 3_600_000, state: 'acknowledged', acknowledgedBy: 'casey', acknowledgedAtMs: nowMs - 3_500_000 }),
    fabricatedAlarm({ ...NOZZLE, id: 'n2', rig: 'rig-b', owner: 'rig-b', raisedAtMs: nowMs - 400_000, state: 'returned-to-normal-unacknowledged', clearedAtMs: nowMs - 30_000 }),
    ...setAside(nowMs),
  ];
}

export function setAside(nowMs: number): LiveAlarm[] {
  return [
    fabricatedAlarm({ id: 's1', name: 'sensor-lost', title: 'Sensor lost', point: 'separator-temperature', priority: 'low', raisedAtMs: nowMs - 5_000_000, state: 'shelved',
      shelved: { untilMs: nowMs + 4_320_000, by: 'R. Calder', reason: 'waiting-for-part', text: 'New probe comes with the noon van', approvedBy: null } }),
    fabricatedAlarm({ id: 's2', name: 'line-wet', title: 'Line air wet', point: 'separator-temperature', priority: 'medium', rig: 'rig-b', owner: 'rig-b', raisedAtMs: nowMs - 90_000_000, state: 'out-of-service',
      outOfService: { untilMs: nowMs + 5 * 86_400_000, by: 'T. Okafor', reason: 'out-of-service', text: 'Sensor faulty: probe housing cracked, dryer checked by blotter instead', approvedBy: 'M. Lindqvist' } }),
    fabricatedAlarm({ ...NOZZLE, id: 's3', rig: 'rig-b', owner: 'rig-b', raisedAtMs: nowMs - 60_000, state: 'suppressed-by-design', suppressedBecause: 'a stop was announced' }),
  ];
}

/** The compressor trips: all follows from it within ten seconds, and on one rig CO comes with it. */
export function compressorTrip(nowMs: number): LiveAlarm[] {
  const firstMs = nowMs - 14_000;
  let order = 1;
  const follow = (what: Parameters<typeof fabricatedAlarm>[0], offsetMs: number): LiveAlarm =>
    fabricatedAlarm({ ...what, raisedAtMs: firstMs + offsetMs, group: 'trip', order: ++order, offsetMs });
  return [
    fabricatedAlarm({ ...TRIP, id: 'trip', raisedAtMs: firstMs, group: 'trip', firstOut: true, order: 1, offsetMs: 0 }),
    ...rigIds(4).map((rig, i) => follow({ ...SUPPLY, id: `sup-${rig}`, rig, owner: rig, raisedAtMs: 0 }, 820 + i * 140)),
    ...rigIds(4).map((rig, i) => follow({ ...NOZZLE, id: `noz-${rig}`, rig, owner: rig, raisedAtMs: 0 }, 2_400 + i * 310)),
    follow({ ...CO, id: 'co-b', rig: 'rig-b', owner: 'rig-b', raisedAtMs: 0 }, 9_200),
  ];
}

/** More than anybody reads: the trip, and unrelated ones on each rig. */
export function flood(nowMs: number): LiveAlarm[] {
  const loose = rigIds(4).flatMap((rig, i) => [
    fabricatedAlarm({ id: `dp-${rig}`, name: 'line-wet', title: 'Line air wet', point: 'separator-temperature', priority: 'medium', rig, owner: rig, raisedAtMs: nowMs - 200_000 - i * 9_000 }),
    fabricatedAlarm({ id: `st-${rig}`, name: 'steel-margin', title: 'Steel close to the dew point', point: 'steel-margin', priority: 'high', rig, owner: rig, raisedAtMs: nowMs - 240_000 - i * 9_000 }),
    fabricatedAlarm({ id: `sl-${rig}`, name: 'sensor-lost', title: 'Sensor lost', point: 'pot-pressure', priority: 'low', rig, owner: rig, raisedAtMs: nowMs - 260_000 - i * 9_000, sound: 'none' }),
  ]);
  return [...compressorTrip(nowMs), ...loose, fabricatedAlarm({ ...AIR_LOW, id: 'air-c', rig: 'rig-c', owner: 'rig-c', raisedAtMs: nowMs - 4_000, state: 'acknowledged', acknowledgedBy: 'J. Ortega', acknowledgedAtMs: nowMs - 2_000, silencedAtRig: true, silencedAtRigBy: 'J. Ortega' }), ...setAside(nowMs)];
}

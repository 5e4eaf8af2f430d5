import type { LiveAlarm } from '../../../domain/wire/live.ts';
import { fabricatedAlarm } from './fabricated-site.ts';

export type Scenario = 'normal' | 'nozzle' | 'co' | 'lost';

const NOZZLE = { id: 'n1', name: 'nozzle-pressure-low', title: 'Nozzle pressure low', point: 'nozzle-pressure', priority: 'medium', value: 81.2, limit: 85,
  cause: 'Rich mix, choke partly shut, kinked hose, worn gasket or nozzle, or supply falling.', response: 'Check with the needle gauge. See which part of the line lost it.' } as const;
const CO = { id: 'c1', name: 'co-high', title: 'Carbon monoxide high in the breathing air', point: 'breathing-air-co', priority: 'critical', value: 12.5, limit: 10,
  cause: 'Engine exhaust drawn into the compressor intake, or a compressor running hot.', consequence: 'The blaster breathes carbon monoxide: headache, confusion, collapse.',
  response: 'Signal the blaster. Let go of the handle. Walk to clean air, hood off there. Then look to the compressor.', respondWithin: 'at once' } as const;

export function alarmsOf(scenario: Scenario, nowMs: number): LiveAlarm[] {
  switch (scenario) {
    case 'normal': return [];
    case 'nozzle': return [fabricatedAlarm({ ...NOZZLE, raisedAtMs: nowMs - 130_000, state: 'acknowledged', acknowledgedBy: 'casey', acknowledgedAtMs: nowMs - 60_000 })];
    case 'co': return [
      fabricatedAlarm({ ...CO, raisedAtMs: nowMs - 8_000 }),
      fabricatedAlarm({ ...NOZZLE, id: 'n2', rig: 'rig-b', owner: 'rig-b', raisedAtMs: nowMs - 400_000, state: 'returned-to-normal-unacknowledged', clearedAtMs: nowMs - 30_000 }),
      fabricatedAlarm({ ...CO, id: 'c2', rig: 'rig-b', owner: 'rig-b', raisedAtMs: nowMs - 900_000, clearedAtMs: nowMs - 500_000, state: 'latched-acknowledged', acknowledgedBy: 'R. Calder', acknowledgedAtMs: nowMs - 880_000 }),
    ];
    case 'lost': return [fabricatedAlarm({ id: 's1', name: 'sensor-lost', title: 'Sensor lost', point: 'nozzle-pressure', priority: 'low', raisedAtMs: nowMs - 20_000, response: 'Fit the spare, or take the reading by hand.' }),
      fabricatedAlarm({ id: 's2', name: 'co-unknown', title: 'Carbon monoxide not known', point: 'breathing-air-co', priority: 'high', raisedAtMs: nowMs - 60_000, response: 'Read the monitor on the panel. If it is dead, bring the blaster out.' })];
  }
}

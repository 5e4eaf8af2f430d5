import type { LiveAlarm } from '../../../domain/wire/live.ts';
import { CO, NOZZLE, compressorTrip, flood, mixedList } from './alarm-scenarios.ts';
import { fabricatedAlarm } from './fabricated-site.ts';

export type Scenario = 'normal' | 'nozzle' | 'co' | 'lost' | 'list' | 'trip' | 'flood' | 'one' | 'many' | 'none';

/** A trip takes more rigs to be one. */
export function rigsOf(scenario: Scenario): number {
  if (scenario === 'many') return 12;
  if (scenario === 'one') return 1;
  if (scenario === 'none') return 0;
  return scenario === 'trip' || scenario === 'flood' ? 4 : 2;
}


export function alarmsOf(scenario: Scenario, nowMs: number): LiveAlarm[] {
  switch (scenario) {
    case 'normal':
    case 'one':
    case 'many':
    case 'none': return [];
    case 'list': return mixedList(nowMs);
    case 'trip': return compressorTrip(nowMs);
    case 'flood': return flood(nowMs);
    case 'nozzle': return [fabricatedAlarm({ ...NOZZLE, id: 'n1', raisedAtMs: nowMs - 130_000, state: 'acknowledged', acknowledgedBy: 'casey', acknowledgedAtMs: nowMs - 60_000 })];
    case 'co': return [
      fabricatedAlarm({ ...CO, id: 'c1', raisedAtMs: nowMs - 8_000 }),
      fabricatedAlarm({ ...NOZZLE, id: 'n2', rig: 'rig-b', owner: 'rig-b', raisedAtMs: nowMs - 400_000, state: 'returned-to-normal-unacknowledged', clearedAtMs: nowMs - 30_000 }),
      fabricatedAlarm({ ...CO, id: 'c2', out: 'not-needed', rig: 'rig-b', owner: 'rig-b', raisedAtMs: nowMs - 900_000, clearedAtMs: nowMs - 500_000, state: 'latched-acknowledged', acknowledgedBy: 'R. Calder', acknowledgedAtMs: nowMs - 880_000 }),
    ];
    case 'lost': return [fabricatedAlarm({ id: 's1', name: 'sensor-lost', title: 'Sensor lost', point: 'nozzle-pressure', priority: 'low', raisedAtMs: nowMs - 20_000, response: 'Fit the spare, or take the reading by hand.' }),
      fabricatedAlarm({ id: 's2', name: 'co-unknown', title: 'Carbon monoxide not known', point: 'breathing-air-co', priority: 'high', sound: 'air', raisedAtMs: nowMs - 60_000, response: 'Read the monitor on the panel. If it is dead, bring the blaster out.' })];
  }
}

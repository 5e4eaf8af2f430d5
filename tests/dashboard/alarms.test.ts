import { describe, expect, it } from 'vitest';
import { ROLES, mayAcknowledge, mayReset } from '../../dashboard/api/session.ts';
import { orderAlarms } from '../../dashboard/alarms/order-alarms.ts';
import type { AlarmState, AlarmPriority } from '../../domain/alarms/alarm.ts';
import { fabricatedAlarm } from './support/fabricated-site.ts';

const alarm = (id: string, priority: AlarmPriority, raisedAtMs: number, state: AlarmState = 'unacknowledged') =>
  fabricatedAlarm({ id, name: id, title: id, point: 'breathing-air-co', priority, raisedAtMs, state });

describe('the strip’s order', () => {
  it('is: nobody has it, then most urgent, then newest', () => {
    const ordered = orderAlarms([
      alarm('old-high', 'high', 1), alarm('taken-critical', 'critical', 9, 'acknowledged'), alarm('new-high', 'high', 5),
      alarm('critical', 'critical', 2), alarm('low', 'low', 9), alarm('over', 'critical', 3, 'latched-unacknowledged'),
    ]);
    expect(ordered.map((a) => a.id)).toEqual(['over', 'critical', 'new-high', 'old-high', 'low', 'taken-critical']);
  });

  it('does not swap what is equal', () => {
    const pair = [alarm('a', 'high', 1), alarm('b', 'high', 1)];
    expect(orderAlarms(pair).map((a) => a.id)).toEqual(orderAlarms([...pair].reverse()).map((a) => a.id));
  });

  it('leaves out what has places of its own', () => {
    expect(orderAlarms((['normal', 'shelved', 'suppressed-by-design', 'out-of-service'] as const).map((s) => alarm(s, 'high', 1, s)))).toEqual([]);
  });
});

describe('who has a button', () => {
  it('is everyone but those who look on; resetting is not the tender’s', () => {
    expect(ROLES.filter(mayAcknowledge)).toEqual(['tender', 'supervisor', 'safety-officer', 'administrator']);
    expect(ROLES.filter(mayReset)).toEqual(['supervisor', 'safety-officer', 'administrator']);
  });
});

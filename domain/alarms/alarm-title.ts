import { needPointKind } from '../points/catalogue.ts';
import type { AlarmRule } from './rule.ts';

/** The headline of a rule at one point; a rule for every point says which one it is about. */
export function alarmTitle(rule: Pick<AlarmRule, 'title' | 'point'>, point: string): string {
  return rule.point === 'every-measured' ? `${rule.title}: ${needPointKind(point).label.toLowerCase()}` : rule.title;
}

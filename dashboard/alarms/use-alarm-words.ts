import { findPointKind } from '../../domain/points/catalogue.ts';
import type { LiveAlarm, LiveSite } from '../../domain/wire/live.ts';
import { formatAge } from '../format/age.ts';
import { formatClock } from '../format/clock.ts';
import { judgeInSystem } from '../format/judge-in-system.ts';
import { formatNumber } from '../format/units.ts';
import { useSeat } from '../hooks/desk-context.ts';
import { useReader } from '../hooks/use-reader.ts';
import { isOutAwaited } from './alarm-state.ts';
import { whereOf } from './where-of.ts';

export interface AlarmWords {
  readonly where: string;
  /** What raised it, when, and whether it is over. */
  readonly facts: string;
  /** Who has it, or that nobody has. */
  readonly state: string;
}

/** An alarm in words, the same on every screen. */
export function useAlarmWords(alarm: LiveAlarm, site: LiveSite): AlarmWords {
  const { words } = useSeat();
  const reader = useReader();
  const clock = (atMs: number): string => formatClock(atMs, site.zone, false);
  const facts = [
    raisedAt(alarm, reader.system, words.alarms.raisedAt),
    words.alarms.since(clock(alarm.raisedAtMs), formatAge((reader.nowMs ?? alarm.raisedAtMs) - alarm.raisedAtMs, words)),
    alarm.clearedAtMs !== null ? words.alarms.over(clock(alarm.clearedAtMs)) : null,
    alarm.outConfirmedBy !== null && alarm.outConfirmedAtMs !== null ? words.alarms.outConfirmed(alarm.outConfirmedBy, clock(alarm.outConfirmedAtMs)) : null,
  ];
  const isTaken = alarm.acknowledgedBy !== null && alarm.acknowledgedAtMs !== null;
  const taken = isOutAwaited(alarm) ? words.alarms.outAwaited : words.alarms.takenBy;
  return {
    where: whereOf(alarm, site, words.alarms.site),
    facts: facts.filter((fact) => fact !== null).join(', '),
    state: isTaken ? taken(alarm.acknowledgedBy, clock(alarm.acknowledgedAtMs)) : words.states[alarm.state],
  };
}

/** The value that raised it beside its limit. It has reached the limit, so rounding may not take it back below. */
function raisedAt(alarm: LiveAlarm, system: Parameters<typeof judgeInSystem>[3], say: (value: string, limit: string) => string): string | null {
  const kind = findPointKind(alarm.point);
  if (!kind || kind.state || alarm.value === null || alarm.limit === null) return null;
  const side = alarm.value >= alarm.limit ? 'high' : 'low';
  const shown = judgeInSystem(alarm.value, alarm.unit, kind.dimension, system, [{ limit: alarm.limit, side }]);
  const limit = judgeInSystem(alarm.limit, alarm.unit, kind.dimension, system, [{ limit: alarm.limit, side }]);
  return say(`${formatNumber(shown.value, shown.decimals)} ${shown.symbol}`, `${formatNumber(limit.value, limit.decimals)} ${limit.symbol}`);
}

import type { AlarmRule } from './rule.ts';
import { AIR_RULES } from './table/air.ts';
import { DEADMAN_RULES } from './table/deadman.ts';
import { FROZEN_RULES } from './table/frozen.ts';
import { MOISTURE_RULES } from './table/moisture.ts';
import { PRESSURE_RULES } from './table/pressure.ts';
import { SYSTEM_RULES } from './table/system.ts';
import { WEATHER_RULES } from './table/weather.ts';

/** The alarms as shipped. A site overrides limit, deadband, delays and auto-acknowledge in its configuration; never the response. */
export const ALARM_TABLE: readonly AlarmRule[] = [...AIR_RULES, ...PRESSURE_RULES, ...FROZEN_RULES, ...DEADMAN_RULES, ...MOISTURE_RULES, ...WEATHER_RULES, ...SYSTEM_RULES];

import type { AlarmRule, Limit, Regime } from '../../../domain/alarms/rule.ts';
import { ALARM_TABLE } from '../../../domain/alarms/table.ts';
import { parseQuantity } from '../../../domain/quantity/parse-quantity.ts';
import { findPointKind } from '../../../domain/points/catalogue.ts';
import { type Dimension, findUnit } from '../../../domain/quantity/unit.ts';
import type { AlarmChanges } from '../../api/rejudge.ts';

export const SETTINGS = ['limit', 'deadband', 'on-delay', 'off-delay'] as const;
export type Setting = (typeof SETTINGS)[number];

/** An alarm whose settings can be tried, with what it is shipped with. */
export interface TriableRule {
  readonly name: string;
  readonly title: string;
  /** Settings that this alarm has; the text is the shipped value, empty where it comes from the rig or the law. */
  readonly shipped: Readonly<Partial<Record<Setting, string>>>;
  readonly dimension: Dimension | null;
}

/** One change while it is being typed. */
export interface DraftChange {
  readonly alarm: string;
  readonly settings: Readonly<Record<Setting, string>>;
}

export const NO_SETTINGS: DraftChange['settings'] = { limit: '', deadband: '', 'on-delay': '', 'off-delay': '' };

/** Alarms of rigs and compressors by title; those that only tell of a date or of the system are judged by nothing recorded. */
export function triableRules(told: (text: string) => string): readonly TriableRule[] {
  const seen = new Set<string>();
  return ALARM_TABLE.filter((rule) => !seen.has(rule.name) && seen.add(rule.name) && isTriable(rule))
    .map((rule) => describe(rule, told))
    .sort((a, b) => a.title.localeCompare(b.title));
}

/** Every alarm under a law, in the order of the table. */
export function rulesUnder(regime: Regime, told: (text: string) => string): readonly (TriableRule & { readonly rule: AlarmRule })[] {
  return ALARM_TABLE.filter((rule) => rule.regime === null || rule.regime === regime).map((rule) => ({ ...describe(rule, told, regime), rule }));
}

function isTriable({ point, condition }: AlarmRule): boolean {
  return point !== null && (condition.kind !== 'state' || condition.prompt !== 'told');
}

function describe(rule: AlarmRule, told: (text: string) => string, regime: Regime = 'US'): TriableRule {
  const { condition, onDelayMs, offDelayMs, name, title } = rule;
  const kind = rule.measure ?? (rule.point === null ? undefined : findPointKind(rule.point));
  const symbol = kind ? (findUnit(kind.unit, kind.dimension)?.symbol ?? '') : '';
  const text = (value: number): string => `${value} ${symbol}`.trim();
  const limit = condition.kind === 'unknown' ? undefined : condition.kind === 'state' ? (condition.limit === null ? undefined : limitText(condition.limit, text, regime)) : limitText(condition.limit, text, regime);
  const deadband = 'deadband' in condition ? text(condition.deadband) : undefined;
  return {
    name,
    title: told(title),
    dimension: kind?.dimension ?? null,
    shipped: { ...(limit === undefined ? {} : { limit }), ...(deadband === undefined ? {} : { deadband }), 'on-delay': seconds(onDelayMs), 'off-delay': seconds(offDelayMs) },
  };
}

function limitText(limit: Limit, text: (value: number) => string, regime: Regime): string {
  if (limit.kind === 'fixed') return text(limit.value);
  return limit.kind === 'regime' ? text(regime === 'US' ? limit.us : limit.en) : '';
}

function seconds(ms: number): string {
  return ms >= 120_000 && ms % 60_000 === 0 ? `${ms / 60_000} min` : `${ms / 1000} s`;
}

export type ReadChanges = { readonly alarms: AlarmChanges } | { readonly wrong: { readonly alarm: string; readonly setting: Setting | null } };

/** The changes as the server takes them, or the first that can't be read. */
export function readChanges(drafts: readonly DraftChange[], rules: readonly TriableRule[]): ReadChanges {
  const alarms: Record<string, Record<string, string>> = {};
  for (const { alarm, settings } of drafts) {
    const rule = rules.find((one) => one.name === alarm);
    if (!rule) continue;
    const said = SETTINGS.filter((setting) => settings[setting].trim() !== '');
    const wrong = said.find((setting) => !isReadable(settings[setting], setting, rule));
    if (wrong !== undefined || said.length === 0) return { wrong: { alarm, setting: wrong ?? null } };
    alarms[alarm] = Object.fromEntries(said.map((setting) => [setting, settings[setting].trim()]));
  }
  return Object.keys(alarms).length === 0 ? { wrong: { alarm: '', setting: null } } : { alarms };
}

function isReadable(text: string, setting: Setting, { dimension }: TriableRule): boolean {
  const wanted = setting.endsWith('delay') ? 'time' : setting === 'deadband' && dimension === 'temperature' ? 'temperature-difference' : dimension;
  if (wanted === null) return false;
  try {
    parseQuantity(text, wanted);
    return true;
  } catch {
    return false;
  }
}

import { type OwnerKind, needPointKind } from '../points/catalogue.ts';
import { type PointKey, pointKey } from '../points/reading.ts';
import type { AlarmRule, Limit, Regime } from './rule.ts';

/** A rule at one owner, its limit resolved. */
export interface BoundRule {
  /** `<rule>@<owner>/<point>`: names one alarm within a site. */
  readonly key: string;
  readonly rule: AlarmRule;
  readonly owner: string;
  /** Empty where the rule is about no point. */
  readonly point: string;
  readonly pointKey: PointKey;
  /** In the rule's unit; null for a condition without a limit. */
  readonly limit: number | null;
  /** UCUM code of value and limit. */
  readonly unit: string;
}

/** What of an owner's setup the limits depend on; pressures in psi gauge. */
export interface RuleOwner {
  readonly id: string;
  readonly kind: OwnerKind;
  readonly regime: Regime;
  readonly vesselRating: number | null;
  readonly wantedLow: number | null;
  readonly respirator: { readonly low: number; readonly high: number } | null;
  /** Seconds that a full pot lasts; null where it can't be told. */
  readonly potEnduranceS: number | null;
}

/** What a site changes of a rule. */
export interface RuleOverride {
  readonly limit?: number;
  readonly deadband?: number;
  readonly onDelayMs?: number;
  readonly offDelayMs?: number;
  readonly autoAcknowledge?: boolean;
}

type Overrides = Readonly<Record<string, RuleOverride>>;

/**
 * The rules on one point of one owner. A rule whose limit neither setup nor site gives is left out: without a vessel rating
 * nothing can be above it.
 */
export function bindRules(table: readonly AlarmRule[], owner: RuleOwner, point: string, overrides: Overrides): BoundRule[] {
  const kind = needPointKind(point);
  const own = table.filter((rule) => rule.owner === owner.kind && rule.point === point && rule.condition.kind !== 'state');
  const general = kind.origin === 'measured' ? table.filter((rule) => rule.owner === owner.kind && rule.point === 'every-measured' && !own.some((other) => other.condition.kind === rule.condition.kind)) : [];
  return [...own, ...general].flatMap((rule) => bind(rule, owner, point, overrides));
}

/** The state rules of an owner all of whose points are fitted. */
export function bindStateRules(table: readonly AlarmRule[], owner: RuleOwner, isFitted: (point: string) => boolean, overrides: Overrides): BoundRule[] {
  return table.flatMap((rule) => {
    if (rule.condition.kind !== 'state' || rule.owner !== owner.kind || !rule.condition.needs.every(isFitted)) return [];
    return bind(rule, owner, rule.point ?? '', overrides);
  });
}

function bind(shipped: AlarmRule, owner: RuleOwner, point: string, overrides: Overrides): BoundRule[] {
  if (shipped.regime !== null && shipped.regime !== owner.regime) return [];
  const rule = override(atHome(shipped, owner.regime), overrides[shipped.name]);
  const key = `${rule.name}@${owner.id}/${point}`;
  const unit = rule.measure?.unit ?? (point === '' ? '{count}' : needPointKind(point).unit);
  const bound = { key, rule, owner: owner.id, point, pointKey: pointKey(owner.id, point), unit };
  const { condition } = rule;
  if (condition.kind === 'unknown' || (condition.kind === 'state' && condition.limit === null)) return [{ ...bound, limit: null }];
  const limit = condition.limit === null ? null : resolve(condition.limit, owner);
  return limit === null ? [] : [{ ...bound, limit }];
}

function resolve(limit: Limit, owner: RuleOwner): number | null {
  const less = (from: number | null, by: number): number | null => (from === null ? null : from - by);
  switch (limit.kind) {
    case 'fixed':
      return limit.value;
    case 'regime':
      return owner.regime === 'EN' ? limit.en : limit.us;
    case 'vessel-rating':
      return less(owner.vesselRating, limit.by);
    case 'below-wanted':
      return less(owner.wantedLow, limit.by);
    case 'respirator-low':
      return owner.respirator === null ? limit.otherwise : owner.respirator.low + limit.by;
    case 'respirator-high':
      return owner.respirator?.high ?? null;
    case 'pot-endurance':
      return owner.potEnduranceS === null ? 3600 : Math.round(owner.potEnduranceS * limit.times);
    case 'site-sets':
      return null;
  }
}

function atHome(rule: AlarmRule, regime: Regime): AlarmRule {
  const { condition, deadbandEn } = rule;
  if (regime !== 'EN' || deadbandEn === null || condition.kind === 'unknown' || condition.kind === 'state') return rule;
  return { ...rule, condition: { ...condition, deadband: deadbandEn } };
}

function override(rule: AlarmRule, change: RuleOverride | undefined): AlarmRule {
  if (!change) return rule;
  const limit = change.limit === undefined ? undefined : ({ kind: 'fixed', value: change.limit } as const);
  const condition =
    rule.condition.kind === 'unknown' ? rule.condition
    : rule.condition.kind === 'state' ? { ...rule.condition, limit: limit ?? rule.condition.limit }
    : { ...rule.condition, limit: limit ?? rule.condition.limit, deadband: change.deadband ?? rule.condition.deadband };
  return { ...rule, condition, onDelayMs: change.onDelayMs ?? rule.onDelayMs, offDelayMs: change.offDelayMs ?? rule.offDelayMs, autoAcknowledge: change.autoAcknowledge ?? rule.autoAcknowledge };
}

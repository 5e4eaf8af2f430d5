import type { OwnerKind } from '../points/catalogue.ts';
import { type PointKey, pointKey } from '../points/reading.ts';
import type { AlarmRule, Limit } from './rule.ts';

/** A rule at one owner, its limit resolved. */
export interface BoundRule {
  /** `<rule>@<owner>/<point>`: names one alarm within a site. */
  readonly key: string;
  readonly rule: AlarmRule;
  readonly owner: string;
  readonly point: string;
  readonly pointKey: PointKey;
  /** In the point's default unit; null for a condition without a limit. */
  readonly limit: number | null;
}

/** What of an owner's setup the limits depend on; pressures in psi gauge. */
export interface RuleOwner {
  readonly id: string;
  readonly kind: OwnerKind;
  readonly vesselRating: number | null;
  readonly wantedLow: number | null;
}

/** What a site changes of a rule. */
export interface RuleOverride {
  readonly limit?: number;
  readonly deadband?: number;
  readonly onDelayMs?: number;
  readonly offDelayMs?: number;
}

/**
 * The rules that apply to one point of one owner. A rule whose limit the setup does not give is left out: without a vessel rating
 * nothing can be above it.
 */
export function bindRules(table: readonly AlarmRule[], owner: RuleOwner, point: string, overrides: Readonly<Record<string, RuleOverride>>): BoundRule[] {
  const own = table.filter((rule) => rule.owner === owner.kind && rule.point === point);
  const general = table.filter((rule) => rule.point === 'every-measured' && !own.some((other) => other.condition.kind === rule.condition.kind));
  return [...own, ...general].flatMap((shipped) => {
    const rule = override(shipped, overrides[shipped.name]);
    if (rule.condition.kind === 'unknown') return [bound(rule, owner.id, point, null)];
    const limit = resolve(rule.condition.limit, owner);
    return limit === null ? [] : [bound(rule, owner.id, point, limit)];
  });
}

function bound(rule: AlarmRule, owner: string, point: string, limit: number | null): BoundRule {
  return { key: `${rule.name}@${owner}/${point}`, rule, owner, point, pointKey: pointKey(owner, point), limit };
}

function resolve(limit: Limit, owner: RuleOwner): number | null {
  switch (limit.kind) {
    case 'fixed':
      return limit.value;
    case 'vessel-rating':
      return owner.vesselRating;
    case 'below-wanted':
      return owner.wantedLow === null ? null : owner.wantedLow - limit.by;
  }
}

function override(rule: AlarmRule, change: RuleOverride | undefined): AlarmRule {
  if (!change) return rule;
  const condition =
    rule.condition.kind === 'unknown'
      ? rule.condition
      : {
          ...rule.condition,
          limit: change.limit === undefined ? rule.condition.limit : ({ kind: 'fixed', value: change.limit } as const),
          deadband: change.deadband ?? rule.condition.deadband,
        };
  return { ...rule, condition, onDelayMs: change.onDelayMs ?? rule.onDelayMs, offDelayMs: change.offDelayMs ?? rule.offDelayMs };
}

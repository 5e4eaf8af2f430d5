import { usable } from '../../alarms/view.ts';
import { needPointKind } from '../../points/catalogue.ts';
import type { QualityReason } from '../../points/reading.ts';
import { findUnit } from '../../quantity/unit.ts';
import { HOLD_LIMIT, judgeHold } from './hold-test.ts';
import { type ReadySight, type Readiness, roundSince } from './readiness.ts';
import type { Bound, Proof, ReadyStep } from './step.ts';

/**
 * What a proof shows now. `holds`: so. `waits`: not yet. `fails`: not so, or the sensor says nothing that can be relied on.
 * `by-hand`: no sensor can say, the signature covers it. Only `waits` and `fails` stand in the way, and not where it is advisory.
 */
export interface Finding {
  readonly says: string;
  readonly state: 'holds' | 'waits' | 'fails' | 'by-hand';
  readonly stays: boolean;
  readonly advisory: boolean;
  /** The point's value and bounds in its default unit (UCUM); null where it has none to show. */
  readonly point: string | null;
  readonly value: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly unit: string | null;
  /** Further words, e.g. why it can't be told; empty where there are none. */
  readonly note: string;
}

/** ppm, by whose law: the shipped limits of the alarm *carbon monoxide high*. */
export const CO_LIMIT = { US: 10, EN: 5 } as const;
/** A sensor that is there and says so little that a person has to look. */
const CANT_SAY: readonly (QualityReason | null)[] = ['calm', 'no-flow', 'no-trend', 'not-computable', 'input-missing'];

function boundOf(bound: Bound | null, sight: ReadySight): number | null | undefined {
  if (bound === null || typeof bound === 'number') return bound;
  if (bound === 'vessel-rating') return sight.vesselRating ?? undefined;
  if (bound === 'co-limit') return CO_LIMIT[sight.regime];
  return sight.respirator?.[bound === 'respirator-low' ? 'low' : 'high'];
}

type Rest = Partial<Omit<Finding, 'says' | 'state'>>;

/** Judges one proof of a step. */
export function judgeProof(proof: Proof, step: ReadyStep, state: Readiness, sight: ReadySight, atMs: number): Finding {
  const find = (is: Finding['state'], rest: Rest = {}): Finding => ({
    says: proof.says,
    state: is,
    stays: 'stays' in proof && proof.stays,
    advisory: proof.kind === 'band' && proof.advisory === true,
    point: null,
    value: null,
    low: null,
    high: null,
    unit: null,
    note: '',
    ...rest,
  });
  const since = roundSince(state, step, sight.situation);
  switch (proof.kind) {
    case 'band':
    case 'off':
      return judgePoint(proof, sight, find);
    case 'steady':
      return judgeSteady(proof, state, sight, atMs, find);
    case 'entry': {
      const entry = sight.situation.entries[proof.entry];
      const isFresh = entry !== undefined && atMs - entry.atMs <= proof.withinMs && (!proof.thisRound || entry.atMs >= since);
      return find(isFresh ? 'holds' : 'waits', { note: isFresh ? `by ${entry.by}` : '' });
    }
    case 'hold':
      return judgeHeld(state, sight, find);
    case 'unload':
      return judgeUnload(state, sight, find);
    case 'tries': {
      if (sight.see('remote-control') === undefined) return find('by-hand');
      const cycles = usable(sight.see('trigger-cycles'));
      const done = cycles === null || state.triesFrom === null ? 0 : cycles - state.triesFrom;
      const stop = usable(sight.see('nozzle-stop'));
      const shown = { point: 'nozzle-stop', value: done > 0 ? stop : null, high: proof.stopWithinS, unit: 's', note: `${Math.min(done, proof.count)} of ${proof.count}` };
      if (done < proof.count) return find('waits', shown);
      return find(stop !== null && stop > proof.stopWithinS ? 'fails' : 'holds', shown);
    }
    case 'hood': {
      const names = sight.situation.underHood.map(({ name }) => name).join(', ');
      return find((names !== '') === proof.some ? 'holds' : 'waits', { note: names });
    }
  }
}

type Find = (is: Finding['state'], rest?: Rest) => Finding;

function judgePoint(proof: Extract<Proof, { kind: 'band' | 'off' }>, sight: ReadySight, find: Find): Finding {
  const seen = sight.see(proof.point);
  if (!seen) return find('by-hand');
  const [low, high] = proof.kind === 'off' ? [null, 0] : [boundOf(proof.low, sight), boundOf(proof.high, sight)];
  const shown = { point: proof.point, value: seen.value, low: low ?? null, high: high ?? null, unit: needPointKind(proof.point).unit };
  if (low === undefined || high === undefined) return find('by-hand', { ...shown, note: 'its limit is not set' });
  const value = usable(seen);
  if (value === null) return find(CANT_SAY.includes(seen.reason) ? 'by-hand' : 'fails', { ...shown, value: null, note: seen.reason ?? 'bad' });
  return find((low === null || value >= low) && (high === null || value <= high) ? 'holds' : 'fails', shown);
}

function judgeSteady(proof: Extract<Proof, { kind: 'steady' }>, { steady }: Readiness, sight: ReadySight, atMs: number, find: Find): Finding {
  const seen = sight.see(proof.point);
  if (!seen) return find('by-hand');
  if (usable(seen) === null) return find('fails', { point: proof.point, note: seen.reason ?? 'bad' });
  const forMs = steady === null ? 0 : atMs - steady.sinceMs;
  const shown = { point: proof.point, low: steady?.low ?? null, high: steady?.high ?? null, unit: needPointKind(proof.point).unit };
  return forMs >= proof.forMs ? find('holds', shown) : find('waits', { ...shown, note: `${Math.floor(forMs / 60_000)} of ${proof.forMs / 60_000} min` });
}

function judgeHeld({ hold }: Readiness, sight: ReadySight, find: Find): Finding {
  if (!sight.see('supply-pressure')) return find('by-hand');
  if (hold === null) return find('waits', { note: 'not held yet' });
  if (hold.ended === null) return find('waits', { note: 'running' });
  const judged = judgeHold(hold);
  if (!judged) return find('fails', { note: hold.ended });
  const { verdict, leak } = judged;
  // An unclear test is longer than it is wrong: a person decides whether to hold again.
  return find(verdict === 'holds' ? 'holds' : 'fails', { value: Math.round(leak.value * 100) / 100, high: HOLD_LIMIT, unit: '[cft_i]/min', note: verdict });
}

function judgeUnload({ unload }: Readiness, sight: ReadySight, find: Find): Finding {
  if (!sight.see('compressor-pressure')) return find('by-hand');
  const shown = { point: 'compressor-pressure', value: unload?.peak ?? null, high: sight.vesselRating, unit: '[psi]' };
  if (unload === null || !unload.cycled) return find('waits', shown);
  return find(sight.vesselRating !== null && unload.peak > sight.vesselRating ? 'fails' : 'holds', shown);
}

/** One finding as a line of the record, in the points' default units. */
export function sayFinding({ says, state, value, low, high, unit, note }: Finding): string {
  const symbol = unit === null ? '' : (findUnit(unit)?.symbol ?? unit);
  const bounds = low !== null && high !== null ? ` (${low} to ${high})` : high !== null ? ` (at most ${high})` : low !== null ? ` (at least ${low})` : '';
  const shown = value === null ? '' : `${value}${symbol === '' ? '' : ` ${symbol}`}${bounds}`;
  const rest = [state === 'by-hand' ? 'read by hand' : state === 'holds' ? '' : state === 'waits' ? 'not yet' : 'not so', shown, note].filter((part) => part !== '');
  return rest.length === 0 ? says : `${says}: ${rest.join(', ')}`;
}

import { ALARM_TABLE } from '../../domain/alarms/table.ts';
import type { AlarmRule, Limit, Suppression } from '../../domain/alarms/rule.ts';
import { type Mover, POINT_KINDS, type PointKind, findPointKind } from '../../domain/points/catalogue.ts';
import { findUnit } from '../../domain/quantity/unit.ts';
import { type Bound, EVENT_WORDS, type Proof, SEQUENCES, type Sequence } from '../../domain/shift/readiness/step.ts';
import { stepsOf } from '../../domain/shift/readiness/steps-of.ts';

/** The tables of the docs that come from the code. */

function row(...cells: readonly string[]): string {
  return `| ${cells.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`;
}

function duration(ms: number): string {
  return ms === 0 ? 'none' : ms % 60_000 === 0 ? `${ms / 60_000} min` : `${ms / 1000} s`;
}

const MOVED_WITH: Readonly<Record<Mover, string>> = { blasting: 'start and stop of blasting', handle: 'the handle, under pressure', 'bump-gas': 'a bump test that is passed', warming: 'the compressor warming up' };

export function pointsTable(): string {
  const head = [row('point', 'what it is', 'belongs to', 'origin', 'default unit', 'resolution', 'expected every', 'stale after', 'plausible', 'bound to move with'), row(...Array.from({ length: 10 }, () => '---'))];
  const body = POINT_KINDS.map((kind: PointKind) =>
    row(
      `\`${kind.id}\``,
      kind.label,
      kind.owner,
      kind.origin,
      kind.state ? `${kind.state[0]} 0, ${kind.state[1]} 1` : `\`${kind.unit}\`${kind.dimension === 'pressure' ? ` ${kind.reference ?? 'gauge'}` : ''}`,
      String(kind.resolution),
      duration(kind.everyMs),
      duration(kind.staleAfterMs),
      `${kind.plausible[0]} to ${kind.plausible[1]}`,
      kind.movedBy ? MOVED_WITH[kind.movedBy] : '–',
    ),
  );
  return [...head, ...body].join('\n');
}

function symbolOf(rule: AlarmRule): string {
  const point = rule.measure ?? findPointKind(rule.point ?? '');
  return point && point.unit !== '{count}' ? (findUnit(point.unit, point.dimension)?.symbol ?? '') : '';
}

function limitText(limit: Limit, symbol: string): string {
  const psi = (by: number): string => (by === 0 ? '' : ` ${by < 0 ? '−' : '+'} ${Math.abs(by)} ${symbol}`);
  switch (limit.kind) {
    case 'fixed':
      return `${limit.value} ${symbol}`.trim();
    case 'regime':
      return `${limit.us} ${symbol} (EN: ${limit.en} ${symbol})`;
    case 'vessel-rating':
      return `the vessel’s rating${psi(-limit.by)}`;
    case 'below-wanted':
      return `wanted low end${psi(-limit.by)}`;
    case 'respirator-low':
      return `the respirator’s low limit${psi(limit.by)}${limit.otherwise === null ? '' : `, ${limit.otherwise} ${symbol} where it is not given`}`;
    case 'respirator-high':
      return 'the respirator’s high limit';
    case 'pot-endurance':
      return `${limit.times} × what a full pot lasts, 1 h where that can’t be told`;
    case 'site-sets':
      return 'what the site sets: without it the alarm does not apply';
  }
}

function conditionText(rule: AlarmRule): string {
  const { condition } = rule;
  const symbol = symbolOf(rule);
  if (condition.kind === 'unknown') return 'no valid value';
  if (condition.kind === 'state') return condition.limit === null ? condition.says : `${condition.says} ${limitText(condition.limit, symbol)}`;
  const deadband = `deadband ${condition.deadband} ${symbol}${rule.deadbandEn === null ? '' : ` (EN: ${rule.deadbandEn} ${symbol})`}`.trim();
  if (condition.kind === 'outside') return `outside ${limitText(condition.limit, symbol)} to ${condition.high} ${symbol}; ${deadband}`;
  if (findPointKind(rule.point ?? '')?.state) return findPointKind(rule.point ?? '')?.state?.[1] ?? '';
  return `${condition.kind.replaceAll('-', ' ')} ${limitText(condition.limit, symbol)}; ${deadband}`;
}

function needsText(rule: AlarmRule): string {
  const needs = rule.condition.kind === 'state' ? rule.condition.needs : rule.point && rule.point !== 'every-measured' ? [rule.point] : [];
  return needs.length === 0 ? 'nothing' : needs.map((id) => `\`${id}\``).join(', ');
}

function aboutText({ point }: AlarmRule): string {
  if (point === null) return 'no point';
  return point === 'every-measured' ? 'every measured point without a rule of its own' : `\`${point}\``;
}

export function alarmsTable(): string {
  // The same rule for a rig, a compressor and a site is one alarm to the reader.
  const rules = ALARM_TABLE.filter((rule, index) => ALARM_TABLE.findIndex(({ name }) => name === rule.name) === index);
  return rules
    .map((rule) =>
      [
        `### ${rule.title}`,
        '',
        row('', ''),
        row('---', '---'),
        row('name', `\`${rule.name}\``),
        row('priority', `${rule.priority}${rule.isAir ? '; sound of CO and loss of air' : ''}`),
        row('belongs to', rule.point === 'every-measured' ? 'rig, compressor, site' : rule.owner),
        row('point', aboutText(rule)),
        row('needs', needsText(rule)),
        row('condition', conditionText(rule)),
        row('on-delay, off-delay', `${duration(rule.onDelayMs)}, ${duration(rule.offDelayMs)}`),
        row('ends', endsText(rule)),
        row('judged', rule.gate === 'always' ? 'always' : `while blasting, ${duration(rule.settleMs)} after its start; frozen otherwise`),
        row('suppressed', rule.suppressedWhile.length === 0 ? 'never' : rule.suppressedWhile.map((name) => SUPPRESSED[name]).join('; ')),
        row('may be shelved by', rule.shelvableBy === null ? 'nobody' : rule.shelvableBy === 'supervisor' ? 'supervisor, safety officer, administrator' : 'safety officer'),
        ...(rule.regime === null ? [] : [row('regime', rule.regime)]),
        row('likely cause', rule.cause),
        row('consequence', rule.consequence),
        row('first response', rule.response),
        row('respond within', rule.respondWithin),
        row('source of the limit', rule.limitSource),
      ].join('\n'),
    )
    .join('\n\n');
}

const SUPPRESSED: Readonly<Record<Suppression, string>> = {
  'bump-test': 'during a bump test (10 min at most, nobody under a hood)',
  'nobody-under-hood': 'while nobody is under a hood: by the log where one is kept, else 10 min after the last blasting; never while blasting',
  'not-in-service': 'before the line first came to pressure on this shift, unless blasting',
  'stop-announced': 'after a stop of the air was announced',
  depressurised: 'without pressure on the line',
  'no-baseline': 'until a needle reading was taken under flow on this shift',
  idle: 'while no shift is open',
  'warm-up': 'for ten minutes after the line came to pressure',
  'co-high-stands': 'while carbon monoxide high stands on this rig',
  'hood-log-unused': 'until somebody was logged under a hood on this shift',
};

function endsText(rule: AlarmRule): string {
  const parts = [];
  if (rule.needsOut) parts.push('after *blaster out and accounted for* is confirmed');
  if (rule.latched) parts.push('latched: a person resets it once the cause is gone');
  if (parts.length === 0) parts.push(rule.autoAcknowledge ? 'by itself once the cause is gone' : 'once the cause is gone and somebody acknowledged it');
  return parts.join('; ');
}

const SEQUENCE_WORDS: Readonly<Record<Sequence, string>> = { before: 'Before blasting', shutdown: 'Shutdown', unblocking: 'Unblocking' };

function boundText(bound: Bound): string {
  return typeof bound === 'number' ? String(bound) : { 'vessel-rating': 'the vessel’s rating', 'respirator-low': 'the respirator’s low', 'respirator-high': 'the respirator’s high', 'co-limit': 'the CO limit' }[bound];
}

function proofText(proof: Proof): string {
  if (proof.kind !== 'band') return proof.says;
  const kind = findPointKind(proof.point);
  const symbol = kind ? (findUnit(kind.unit, kind.dimension)?.symbol ?? '') : '';
  const bounds = [proof.low === null ? '' : `from ${boundText(proof.low)}`, proof.high === null ? '' : `to ${boundText(proof.high)}`].filter((part) => part !== '').join(' ');
  return `${proof.says} (\`${proof.point}\` ${bounds} ${symbol}${proof.stays ? ', later too' : ''}${proof.advisory ? ', no hindrance' : ''})`;
}

/** Every step of the check before blasting, of shutdown and of unblocking. */
export function readyTable(): string {
  return SEQUENCES.map((sequence) =>
    [
      `### ${SEQUENCE_WORDS[sequence]}`,
      '',
      ...stepsOf()
        .filter((step) => step.sequence === sequence)
        .flatMap((step, index) => [
          `**${index + 1}. ${step.title}** (\`${step.id}\`)`,
          '',
          ...step.todo.map((line) => `- ${line}`),
          '',
          row('', ''),
          row('---', '---'),
          row('signed by a person', step.seen),
          ...(step.proofs.length === 0 ? [] : [row('shown by sensors and entries', step.proofs.map(proofText).join('; '))]),
          row('if it is not so', step.ifNot),
          ...(step.after.length === 0 ? [] : [row('comes after', step.after.map((id) => `\`${id}\``).join(', '))]),
          ...(step.again.length === 0 ? [] : [row('due again after', step.again.map((event) => EVENT_WORDS[event]).join('; '))]),
          row('counts for', step.expiresMs === null ? 'the shift' : `${step.expiresMs / 3_600_000} h`),
          ...(step.causes === null ? [] : [row('means for the others', EVENT_WORDS[step.causes])]),
          '',
        ]),
    ].join('\n'),
  ).join('\n').trimEnd();
}

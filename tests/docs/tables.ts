import { ALARM_TABLE } from '../../domain/alarms/table.ts';
import type { AlarmRule } from '../../domain/alarms/rule.ts';
import { POINT_KINDS, type PointKind, findPointKind } from '../../domain/points/catalogue.ts';
import { findUnit } from '../../domain/quantity/unit.ts';

/** The tables of the docs that come from the code. */

function row(...cells: readonly string[]): string {
  return `| ${cells.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`;
}

function duration(ms: number): string {
  return ms === 0 ? '0' : ms % 60_000 === 0 ? `${ms / 60_000} min` : `${ms / 1000} s`;
}

export function pointsTable(): string {
  const head = [row('point', 'what it is', 'belongs to', 'origin', 'default unit', 'resolution', 'expected every', 'stale after', 'plausible'), row(...Array.from({ length: 9 }, () => '---'))];
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
    ),
  );
  return [...head, ...body].join('\n');
}

function limitText(rule: AlarmRule): string {
  if (rule.condition.kind === 'unknown') return 'no valid value';
  const { limit, kind, deadband } = rule.condition;
  const point = findPointKind(rule.point);
  const symbol = findUnit(point?.unit ?? '1', point?.dimension)?.symbol ?? '';
  const where = limit.kind === 'fixed' ? `${limit.value} ${symbol}` : limit.kind === 'vessel-rating' ? 'the vessel’s rating' : `wanted low end − ${limit.by} ${symbol}`;
  return `${kind.replaceAll('-', ' ')} ${where}; deadband ${deadband} ${symbol}`;
}

export function alarmsTable(): string {
  return ALARM_TABLE.map((rule) =>
    [
      `### ${rule.title}`,
      '',
      row('', ''),
      row('---', '---'),
      row('name', `\`${rule.name}\``),
      row('priority', rule.priority),
      row('point', rule.point === 'every-measured' ? 'every measured point without a rule of its own' : `\`${rule.point}\``),
      row('condition', limitText(rule)),
      row('on-delay, off-delay', `${duration(rule.onDelayMs)}, ${duration(rule.offDelayMs)}`),
      row('latched', rule.latched ? 'yes: a person resets it once the cause is gone' : 'no'),
      row('judged', rule.gate === 'always' ? 'always' : `while blasting, ${duration(rule.settleMs)} after its start; frozen otherwise`),
      row('likely cause', rule.cause),
      row('consequence', rule.consequence),
      row('first response', rule.response),
      row('respond within', rule.respondWithin),
      row('source of the limit', rule.limitSource),
    ].join('\n'),
  ).join('\n\n');
}

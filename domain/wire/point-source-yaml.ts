import type { PointKind } from '../points/catalogue.ts';
import { parseRange, type Quantity } from '../quantity/parse-quantity.ts';
import { convert, findUnit, needUnit } from '../quantity/unit.ts';
import type { LoopRange, PointSource } from '../shift/site-config.ts';
import type { WrittenPointSource } from './site-yaml.ts';

interface FieldProblem {
  readonly field: keyof WrittenPointSource;
  readonly message: string;
}

/** Which fields belong to which payload form; a field that would be ignored is an error. */
const BELONGS: Readonly<Partial<Record<keyof WrittenPointSource, readonly PointSource['payload'][]>>> = {
  value: ['json'],
  time: ['json'],
  name: ['senml', 'sparkplug'],
  metric: ['sparkplug'],
};

/** A point's source as written, checked against what the point measures. Beside problems the source is only a stand-in. */
export function toPointSource(written: WrittenPointSource, kind: PointKind): { readonly source: PointSource; readonly problems: readonly FieldProblem[] } {
  const problems: FieldProblem[] = [];
  for (const [field, forms] of Object.entries(BELONGS) as [keyof WrittenPointSource, readonly PointSource['payload'][]][]) {
    if (written[field] !== undefined && !forms.includes(written.payload)) problems.push({ field, message: `belongs to payload ${forms.join(' or ')}; this payload is ${written.payload}` });
  }
  problems.push(...checkName(written));
  const loop = toLoop(written, kind, problems);
  // Scaled values arrive as a current, the others as the quantity itself.
  const dimension = written.scale ? 'current' : kind.dimension;
  const unit = written.unit ?? (written.scale ? 'mA' : kind.unit);
  if (!findUnit(unit, dimension)) problems.push({ field: 'unit', message: `${JSON.stringify(unit)} is not a unit of ${dimension}; expected a UCUM code, e.g. ${written.scale ? 'mA' : kind.unit}` });
  return {
    source: { topic: written.topic, payload: written.payload, value: written.value ?? '', time: written.time ?? null, name: written.metric ?? written.name ?? null, unit, loop, everyMs: written.every ?? null, ...(written.status ? { status: written.status } : {}) },
    problems,
  };
}

/** As RFC 8428 §4.5.1 allows. */
const SENML_NAME = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/;

/** `<group>/<edge node>[/<device>]` (Sparkplug 3.0 §4.1). */
const SPARKPLUG_TOPIC = /^[^/]+\/[^/]+(\/[^/]+)?$/;

function checkName({ payload, name, metric, topic }: WrittenPointSource): FieldProblem[] {
  if (payload === 'senml') {
    if (name === undefined) return [{ field: 'payload', message: 'expected a name beside it: the sensor’s whole name, base name and name together' }];
    return SENML_NAME.test(name) ? [] : [{ field: 'name', message: 'expected a SenML name: a letter or digit, then those and - : . / _ (RFC 8428)' }];
  }
  if (payload !== 'sparkplug') return [];
  const problems: FieldProblem[] = [];
  if (name === undefined && metric === undefined) problems.push({ field: 'payload', message: 'expected a metric beside it, by its name in the birth' });
  if (name !== undefined && metric !== undefined) problems.push({ field: 'name', message: 'says the same as metric: expected one of them' });
  if (!SPARKPLUG_TOPIC.test(topic) || topic.startsWith('spBv1.0/')) problems.push({ field: 'topic', message: 'expected <group>/<edge node> or <group>/<edge node>/<device>, without spBv1.0 and the type of message' });
  return problems;
}

function toLoop(written: WrittenPointSource, kind: PointKind, problems: FieldProblem[]): LoopRange | null {
  const wrong = (field: FieldProblem['field'], message: string): null => {
    problems.push({ field, message });
    return null;
  };
  if (written.scale === undefined) return written.range === undefined ? null : wrong('range', 'a range belongs to scale: 4-20mA, which is missing');
  if (kind.state) return wrong('scale', `${kind.id} is on or off: there is nothing to scale`);
  if (written.range === undefined) return wrong('scale', 'expected a range beside it: what 4 mA and 20 mA stand for, e.g. range: 0psi..200psi');
  try {
    const { low, high } = parseRange(written.range, kind.dimension);
    return { low: inDefaultUnit(low, kind), high: inDefaultUnit(high, kind) };
  } catch (error) {
    return wrong('range', (error as Error).message);
  }
}

function inDefaultUnit({ value, unit, absolute }: Quantity, kind: PointKind): number {
  if (absolute && kind.reference !== 'absolute') throw new RangeError(`an absolute pressure: expected a ${kind.reference ?? 'gauge'} pressure`);
  return convert(value, unit, needUnit(kind.unit, kind.dimension));
}

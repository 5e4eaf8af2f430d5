import { quote, type Refused, refuse } from './decoded.ts';

/** One record of a pack with its base fields worked in (RFC 8428 §4.6). */
export interface SenmlRecord {
  readonly name: string;
  readonly unit: string | null;
  /** Undefined where the record holds data (`vd`) or only a sum. */
  readonly value: number | boolean | string | undefined;
  /** Unix seconds; null where the time counts from the receipt. */
  readonly atSeconds: number | null;
  /** Seconds after the receipt, mostly negative, where `atSeconds` is null. */
  readonly afterReceipt: number;
}

/** Smaller times count from now (RFC 8428 §4.5.3). */
const RELATIVE_BELOW = 2 ** 28;
/** RFC 8428 §4.4; 26 is version 10 with secondary units (RFC 9100 §4). */
const VERSION = 10;
const WITH_SECONDARY_UNITS = 26;
const NAME = /^[A-Za-z0-9][A-Za-z0-9\-:./_]*$/;

const NUMBERS = ['bt', 'bv', 'bs', 'bver', 't', 'ut', 'v', 's'] as const;
const TEXTS = ['bn', 'bu', 'n', 'u', 'vs', 'vd'] as const;
type Fields = { [key in (typeof NUMBERS)[number]]?: number } & { [key in (typeof TEXTS)[number]]?: string } & { vb?: boolean };

const KIND_OF: ReadonlyMap<string, 'number' | 'string' | 'boolean'> = new Map([...NUMBERS.map((key) => [key, 'number'] as const), ...TEXTS.map((key) => [key, 'string'] as const), ['vb', 'boolean'] as const]);

/** Resolves a SenML pack in JSON (RFC 8428 §4 and §5). A pack that breaks the rules is refused as a whole: its base fields can't be trusted. */
export function resolveSenml(document: unknown): readonly SenmlRecord[] | Refused {
  if (!Array.isArray(document) || document.length === 0) return refuse('not-senml', `found ${quote(document)}, expected a list of records`);
  const base: { bn: string; bt: number; bv: number | null; bu: string | null } = { bn: '', bt: 0, bv: null, bu: null };
  const records: SenmlRecord[] = [];
  for (const written of document) {
    const fields = readFields(written);
    if ('ok' in fields) return fields;
    // Each base field holds until the next record that has the same one.
    base.bn = fields.bn ?? base.bn;
    base.bt = fields.bt ?? base.bt;
    base.bv = fields.bv ?? base.bv;
    base.bu = fields.bu ?? base.bu;
    const name = base.bn + (fields.n ?? '');
    const hasOther = fields.vs !== undefined || fields.vb !== undefined || fields.vd !== undefined;
    const hasNumber = fields.v !== undefined || (!hasOther && base.bv !== null && fields.s === undefined);
    // A record of base fields alone says nothing of its own.
    if (!hasNumber && !hasOther && fields.s === undefined) continue;
    if (!NAME.test(name)) return refuse('not-senml', `found the name ${quote(name)}, expected a letter or digit, then those and - : . / _`);
    const at = base.bt + (fields.t ?? 0);
    records.push({
      name,
      unit: fields.u ?? base.bu,
      value: hasNumber ? (base.bv ?? 0) + (fields.v ?? 0) : (fields.vb ?? fields.vs),
      atSeconds: at < RELATIVE_BELOW ? null : at,
      afterReceipt: at < RELATIVE_BELOW ? at : 0,
    });
  }
  return records;
}

/** The known fields of a record, each of its kind; own properties only. */
function readFields(record: unknown): Fields | Refused {
  if (record === null || typeof record !== 'object' || Array.isArray(record)) return refuse('not-senml', `found ${quote(record)} in the list, expected a record`);
  const fields: Record<string, unknown> = Object.create(null) as Record<string, unknown>;
  let values = 0;
  for (const [key, value] of Object.entries(record)) {
    // A field that must be understood (RFC 8428 §4.4).
    if (key.endsWith('_')) return refuse('not-senml', `found the field ${quote(key)}, which must be understood and is not known`);
    const kind = KIND_OF.get(key);
    if (kind === undefined) continue;
    if (typeof value !== kind || (kind === 'number' && !Number.isFinite(value))) return refuse('not-senml', `found ${quote(value)} in ${quote(key)}, expected a ${kind}`);
    if (key.startsWith('v')) values += 1;
    fields[key] = value;
  }
  if (values > 1) return refuse('not-senml', 'found several values in one record, expected one of v, vs, vb, vd');
  const version = (fields as Fields).bver ?? VERSION;
  if (!Number.isInteger(version) || version < 1 || (version > VERSION && version !== WITH_SECONDARY_UNITS)) return refuse('not-senml', `found version ${version}, expected at most ${VERSION}, or ${WITH_SECONDARY_UNITS} (RFC 9100)`);
  return fields;
}

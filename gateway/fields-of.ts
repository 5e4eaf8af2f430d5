interface Field {
  readonly at: string;
  readonly value: string;
}

const MOST = 40;
const DEEPEST = 6;
/** Longer ones could not be told, and nobody names a value so. */
const LONGEST = 120;

/** What a JSON or SenML message holds, for somebody to pick from: pointers (RFC 6901) or SenML names, with their values. Empty for any other. */
export function fieldsOf(payload: Uint8Array): Field[] {
  const text = Buffer.from(payload).toString('utf8').trim();
  if (!/^[[{]/.test(text)) return [];
  try {
    const found: unknown = JSON.parse(text);
    const fields = Array.isArray(found) ? fromPack(found) : [];
    return (fields.length > 0 ? fields : leaves(found, '', 0)).filter(({ at }) => at.length <= LONGEST).slice(0, MOST);
  } catch {
    return [];
  }
}

/** Names of a SenML pack as resolved by RFC 8428 §4.6: the base name stands until the next one. */
function fromPack(pack: readonly unknown[]): Field[] {
  let base = '';
  return pack.flatMap((record): Field[] => {
    if (typeof record !== 'object' || record === null) return [];
    const { bn, n = '', v, vb } = record as { bn?: unknown; n?: unknown; v?: unknown; vb?: unknown };
    if (typeof bn === 'string') base = bn;
    const value = typeof v === 'number' ? v : vb;
    const name = typeof n === 'string' ? base + n : '';
    return name === '' || value === undefined ? [] : [{ at: name, value: said(value) }];
  });
}

function leaves(value: unknown, at: string, depth: number): Field[] {
  if (typeof value !== 'object' || value === null) return [{ at, value: said(value) }];
  if (depth >= DEEPEST) return [];
  return Object.entries(value).flatMap(([name, inner]) => leaves(inner, `${at}/${name.replaceAll('~', '~0').replaceAll('/', '~1')}`, depth + 1)).slice(0, MOST);
}

function said(value: unknown): string {
  return String(value).slice(0, 40);
}

/**
 * What of a written configuration differs from another, field by field: for who looks before saving, and for the audit trail.
 * Entries of a list that have an `id` (or a `name`) are told apart by it, so that a rig taken out does not make all behind it look changed.
 */
export interface DocumentChange {
  /** `rigs.rig-a.nozzle.bore`. */
  readonly field: string;
  /** Null where it was not there. */
  readonly old: unknown;
  /** Null where it is gone. */
  readonly new: unknown;
}

type Fields = Readonly<Record<string, unknown>>;

/** Every leaf that differs, in the order of the two documents. A group that comes or goes whole is told by its leaves. */
export function documentChanges(before: unknown, after: unknown, field = ''): DocumentChange[] {
  const [old, now] = [fieldsOf(before), fieldsOf(after)];
  if (!old && !now) return isSame(before, after) ? [] : [{ field, old: before ?? null, new: after ?? null }];
  if ((!old && isThere(before)) || (!now && isThere(after))) return [{ field, old: before ?? null, new: after ?? null }];
  const names = [...new Set([...Object.keys(old ?? {}), ...Object.keys(now ?? {})])];
  return names.flatMap((name) => documentChanges(old?.[name], now?.[name], field === '' ? name : `${field}.${name}`));
}

/** True where two written values say the same, whatever the order of their keys. */
export function isSame(a: unknown, b: unknown): boolean {
  if (Array.isArray(a) && Array.isArray(b)) return a.length === b.length && a.every((item, index) => isSame(item, b[index]));
  if (isGroup(a) && isGroup(b)) {
    const [left, right] = [Object.entries(a).filter(([, value]) => isThere(value)), Object.entries(b).filter(([, value]) => isThere(value))];
    return left.length === right.length && left.every(([name, value]) => isSame(value, b[name]));
  }
  return (a ?? null) === (b ?? null);
}

/** What tells one entry of a list from the others; null where nothing does. */
export function entryName(entry: unknown): string | null {
  if (!isGroup(entry)) return null;
  const { id, name } = entry;
  return typeof id === 'string' ? id : typeof name === 'string' ? name : null;
}

export function isGroup(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** A group's fields, or a list's entries by name where every one has a name of its own; null for anything else. */
function fieldsOf(value: unknown): Fields | null {
  if (isGroup(value)) return value;
  if (!Array.isArray(value) || value.length === 0) return null;
  const names = value.map(entryName);
  if (names.includes(null) || new Set(names).size < names.length) return null;
  return Object.fromEntries(value.map((entry, index) => [names[index] ?? '', entry]));
}

function isThere(value: unknown): boolean {
  return value !== undefined && value !== null && !(Array.isArray(value) && value.length === 0);
}

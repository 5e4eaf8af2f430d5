/** Plain data with its instants told as RFC 3339, UTC: a key `raisedAtMs` becomes `raisedAt`, `fromMs` becomes `from`. */
export function toWire(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(toWire);
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(Object.entries(value).map(([key, held]) => (isInstant(key, held) ? [key.slice(0, -2), held === null ? null : new Date(held as number).toISOString()] : [key, toWire(held)])));
}

function isInstant(key: string, held: unknown): boolean {
  return (key.endsWith('AtMs') || key === 'atMs' || key === 'fromMs' || key === 'toMs' || key === 'endMs') && (held === null || typeof held === 'number');
}

/** A direction as people say it, from the names of a whole round in equal steps beginning in the north. */
export function compassPoint(degrees: number, names: readonly string[]): string {
  const step = 360 / names.length;
  const index = Math.round((((degrees % 360) + 360) % 360) / step) % names.length;
  return names[index] ?? '';
}

/** `1 alarm`, `2 alarms`: enough for languages that have one form for one and one for all others. */
export function several(n: number, one: string, many: string): string {
  return `${n} ${n === 1 ? one : many}`;
}

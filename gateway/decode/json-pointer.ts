/** The value at a JSON Pointer (RFC 6901), own properties only; undefined where there is none. */
export function atPointer(document: unknown, pointer: string): unknown {
  if (pointer === '') return document;
  let here: unknown = document;
  for (const step of pointer.slice(1).split('/')) {
    const key = step.replaceAll('~1', '/').replaceAll('~0', '~');
    if (here === null || typeof here !== 'object' || !Object.hasOwn(here, key)) return undefined;
    if (Array.isArray(here) && !/^(0|[1-9]\d*)$/.test(key)) return undefined;
    here = (here as Record<string, unknown>)[key];
  }
  return here;
}

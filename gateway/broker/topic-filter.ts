/** True where everything that `narrow` matches is matched by `wide` too (MQTT 3.1.1 §4.7). A topic is a filter without wildcards. */
export function coversFilter(wide: string, narrow: string): boolean {
  const [wides, narrows] = [wide.split('/'), narrow.split('/')];
  // Wildcards do not reach topics that begin with $.
  if (narrow.startsWith('$') && !wide.startsWith(narrows[0] ?? '')) return false;
  for (const [at, level] of wides.entries()) {
    if (level === '#') return true;
    const other = narrows[at];
    if (other === undefined || other === '#' || (level !== '+' && level !== other)) return false;
  }
  return wides.length === narrows.length;
}

/** A filter that can be given as a permission: wildcards stand alone in their level, # at the end. */
export function isFilter(text: string): boolean {
  const levels = text.split('/');
  return text.length > 0 && text.length <= 256 && levels.every((level, at) => (level === '#' ? at === levels.length - 1 : level === '+' || !/[+#\p{Cc}]/u.test(level)));
}

import { alarmPhrases } from './es-alarm-phrases.ts';
import { linePhrases } from './es-line-phrases.ts';
import { pointPhrases } from './es-point-phrases.ts';
import { readyPhrases } from './es-ready-phrases.ts';

const PHRASES: ReadonlyMap<string, string> = new Map(Object.entries({ ...alarmPhrases, ...readyPhrases, ...pointPhrases, ...linePhrases }));

/** Sentences of the server that hold a name or a number, which stays as it is. */
const PATTERNS: readonly (readonly [RegExp, (...parts: string[]) => string])[] = [
  [/^(.+?) nozzle, (.+?) of (.+?) hose$/s, (nozzle, length, bore) => `boquilla de ${nozzle}, ${length} de manguera de ${bore}`],
  [/^not ready, because (.+)$/s, (why) => `no está listo, porque ${tellInSpanish(why)}`],
  [/^(.+); and (\d+) more$/s, (first, more) => `${tellInSpanish(first)}; y ${more} más`],
  [/^due again, signed more than ([\d.]+) h ago$/s, (hours) => `toca de nuevo, firmado hace más de ${hours} h`],
  [/^due again, (.+)$/s, (why) => `toca de nuevo, ${tellInSpanish(why)}`],
  [/^(.+) says that it is not so$/s, (name) => `${name} dice que no es así`],
  [/^(\d+) of (\d+)( min)?$/s, (done, of, unit) => `${done} de ${of}${unit ?? ''}`],
  [/^by (.+)$/s, (name) => `por ${name}`],
  [/^(.+?): (.+)$/s, (what, rest) => `${tellInSpanish(what)}: ${tellInSpanish(rest)}`],
];

/**
 * What the server says, in Spanish where it is one of its own sentences. What a site or a person wrote is nobody's to translate: it
 * stands as it was written.
 */
export function tellInSpanish(text: string): string {
  const known = PHRASES.get(text);
  if (known !== undefined) return known;
  for (const [pattern, say] of PATTERNS) {
    const parts = pattern.exec(text)?.slice(1);
    if (parts) return say(...parts);
  }
  return text;
}

import { alarmPhrases } from './es-alarm-phrases.ts';
import { linePhrases } from './es-line-phrases.ts';
import { pointPhrases } from './es-point-phrases.ts';
import { readyPhrases } from './es-ready-phrases.ts';
import { shiftPhrases } from './es-shift-phrases.ts';

type Tell = (text: string) => string;

export const PHRASES: ReadonlyMap<string, string> = new Map(Object.entries({ ...alarmPhrases, ...readyPhrases, ...pointPhrases, ...linePhrases, ...shiftPhrases }));

/** Sentences of the server that hold a name or a number, which stays as it is. */
const PATTERNS: readonly (readonly [RegExp, (tell: Tell, ...parts: string[]) => string])[] = [
  // How a rig is built, part by part.
  [/^(.+? nozzle|.+? hose|vessel rated .+?), (.+(?: nozzle| hose)|vessel rated .+)$/s, (tell, first = '', rest = '') => `${tell(first)}, ${tell(rest)}`],
  [/^([\d.\/ ]+ \S+) nozzle$/s, (_tell, bore) => `boquilla de ${bore}`],
  [/^([\d.\/ ]+ \S+) of ([\d.\/ ]+ \S+) hose$/s, (_tell, length, bore) => `${length} de manguera de ${bore}`],
  [/^vessel rated (\S+ \S+)$/s, (_tell, pressure) => `placa de la tolva ${pressure}`],
  [/^not ready, because (.+)$/s, (tell, why = '') => `no está listo, porque ${tell(why)}`],
  [/^(.+); and (\d+) more$/s, (tell, first = '', more) => `${tell(first)}; y ${more} más`],
  [/^due again, signed more than ([\d.]+) h ago$/s, (_tell, hours) => `toca de nuevo, firmado hace más de ${hours} h`],
  [/^due again, (.+)$/s, (tell, why = '') => `toca de nuevo, ${tell(why)}`],
  [/^(.+) says that it is not so$/s, (_tell, name) => `${name} dice que no es así`],
  [/^(\d+) of (\d+)( min)?$/s, (_tell, done, of, unit) => `${done} de ${of}${unit ?? ''}`],
  // What a sensor shows of a step: how it stands, its value between its bounds, a note.
  [/^(read by hand|not yet|not so), (.+)$/s, (tell, state = '', rest = '') => `${tell(state)}, ${tell(rest)}`],
  [/^(-?[\d.]+ ?\S*) \((at least|at most) (\S+)\)(?:, (.+))?$/s, (tell, value, bound, limit, note) => `${value} (${bound === 'at least' ? 'mínimo' : 'máximo'} ${limit})${note === undefined ? '' : `, ${tell(note)}`}`],
  [/^(-?[\d.]+ ?\S*) \((\S+) to (\S+)\)(?:, (.+))?$/s, (tell, value, low, high, note) => `${value} (${low} a ${high})${note === undefined ? '' : `, ${tell(note)}`}`],
  [/^by (.+)$/s, (_tell, name) => `por ${name}`],
  [/^(.+?): (.+)$/s, (tell, what = '', rest = '') => `${tell(what)}: ${tell(rest)}`],
];

/**
 * What the server says, in Spanish where it is one of its own sentences. What a site or a person wrote is nobody's to translate: it
 * stands as it was written.
 */
export function tellInSpanish(text: string): string {
  return PHRASES.get(text) ?? tellPieces(text, tellInSpanish);
}

/** A sentence that is put together from others, each told by `tell`. */
export function tellPieces(text: string, tell: Tell): string {
  for (const [pattern, say] of PATTERNS) {
    const parts = pattern.exec(text)?.slice(1);
    if (parts) return say(tell, ...parts);
  }
  return text;
}

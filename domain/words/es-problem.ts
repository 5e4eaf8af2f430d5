import { terms as en } from './en-terms.ts';
import { terms as es } from './es-terms.ts';
import { problemPhrases, problemWords } from './es-problem-phrases.ts';
import { PHRASES, tellPieces } from './es-told.ts';

interface Pattern {
  readonly matches: RegExp;
  readonly says: string;
}

/** Those with the most of their own come first: `there is no rig {}` before `there is no {}`. */
const PATTERNS: readonly Pattern[] = Object.entries(problemPhrases)
  .filter(([english]) => english.includes('{}'))
  .toSorted(([a], [b]) => b.replaceAll('{}', '').length - a.replaceAll('{}', '').length)
  .map(([english, says]) => ({ matches: new RegExp(`^${english.replaceAll(/[.*+?^$()|[\]\\]/g, String.raw`\$&`).replaceAll('{}', '(.*?)')}$`, 's'), says }));

const WORDS: ReadonlyMap<string, string> = new Map([
  ...Object.entries(problemPhrases).filter(([english]) => !english.includes('{}')),
  ...Object.entries(problemWords),
  ...Object.entries(es.reasons),
  // As the fold says a role: without its hyphens.
  ...Object.keys(en.roles).map((role) => [role.replaceAll('-', ' '), es.roles[role as keyof typeof es.roles]] as const),
]);

/** Why an order was not carried out, in Spanish. What a person or a site wrote stands in it as it was written. */
export function tellProblemInSpanish(problem: string): string {
  const known = WORDS.get(problem) ?? PHRASES.get(problem);
  if (known !== undefined) return known;
  for (const { matches, says } of PATTERNS) {
    const put = matches.exec(problem);
    if (put) return says.replaceAll(/\{(\d)(=?)\}/g, (_all, place: string, isOurs: string) => ((part) => (isOurs === '=' ? tellProblemInSpanish(part) : part))(put[Number(place)] ?? ''));
  }
  return tellPieces(problem, tellProblemInSpanish);
}

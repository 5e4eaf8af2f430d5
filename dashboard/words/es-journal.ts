import type { AlarmPath } from '../../domain/alarms/situation.ts';
import { tellProblemInSpanish } from '../../domain/words/es-problem.ts';
import { terms } from '../../domain/words/es-terms.ts';
import { tellInSpanish } from '../../domain/words/es-told.ts';
import { rig } from './es-shift-figures.ts';

/** What a line of the journal says, in Spanish. The record keeps the server's own sentence; what a person wrote in it stays as written. */
const WORDS: ReadonlyMap<string, string> = new Map(Object.entries({
  // What became of an alarm.
  'back to normal': 'de vuelta a lo normal',
  raised: 'saltó',
  acknowledged: 'reconocida',
  'back to normal, nobody acknowledged it yet': 'de vuelta a lo normal, nadie la ha reconocido',
  'cause gone, waits to be acknowledged and reset': 'sin causa ya, espera que la reconozcan y la repongan',
  'cause gone, waits to be reset': 'sin causa ya, espera que la repongan',
  shelved: 'aplazada',
  'suppressed by design': 'suprimida por diseño',
  'out of service': 'fuera de servicio',
  'taken at the rig': 'tomada en el equipo',
  'blaster out and accounted for, confirmed': 'chorreador fuera y localizado, confirmado',
  'off the shelf': 'ya no aplazada',
  'no longer suppressed': 'ya no suprimida',
  'back in service': 'de nuevo en servicio',
  reset: 'repuesta',
  'closed: its rule no longer applies': 'cerrada: su regla ya no vale',
  // What people did.
  'acknowledge, at the rig': 'reconoce, en el equipo',
  'acknowledge, away from the rig': 'reconoce, lejos del equipo',
  acknowledge: 'reconoce',
  'confirm out': 'confirma que está fuera',
  unshelve: 'quita el aplazamiento',
  'in service': 'de nuevo en servicio',
  'bump test ended': 'prueba con gas terminada',
  'shift started': 'turno empezado',
  'shift ended': 'turno terminado',
  'hold test begun': 'prueba de estanqueidad empezada',
  'hold test stopped': 'prueba de estanqueidad parada',
  'check before blasting begun': 'revisión antes de chorrear, empezada',
  'shutdown begun': 'cierre, empezado',
  'unblocking begun': 'destapado, empezado',
  released: 'liberado',
  'scenario ended': 'ejercicio terminado',
}));

const ROLES: ReadonlyMap<string, string> = new Map(Object.entries(terms.roles));
const MEANINGS: ReadonlyMap<string, string> = new Map(Object.entries(terms.meanings).map(([meaning, said]) => [meaning, said.toLowerCase()]));
const CHECKED: readonly (readonly [english: string, spanish: string])[] = [['certificate ', 'certificado '], ['done by ', 'hecha por '], ['done ', 'hecha el '], ['due ', 'vence el '], ['found at ', 'hallado en '], ['left at ', 'dejado en '], ['passed', 'respondió'], ['FAILED', 'NO respondió'], ['gas of ', 'gas de ']];
const PATHS: Readonly<Record<AlarmPath, string>> = { beacon: 'la baliza', recording: 'el registro', telling: 'los avisos', outbox: 'la cola de la pasarela', certificate: 'el certificado', 'set-aside': 'lo apartado' };

type Say = (...parts: string[]) => string;
/** The first that fits speaks. Greedy before `by`: a name stands at the end, and a note may hold the word. */
const PATTERNS: readonly (readonly [RegExp, Say])[] = [
  [/^Drill: (.+)$/s, (rest) => `Simulacro: ${tellJournalInSpanish(rest)}`],
  [/^Configuration (\w+) in force(?: by ([^:,]+))?(.*)$/s, (version, who, rest) => `Configuración ${version} en vigor${who ? ` por ${who}` : ''}${changes(rest ?? '')}`],
  [/^Nothing was heard since (\S+): the program did not run or could not record$/, (since) => `No se oyó nada desde ${since}: el programa no corría o no pudo registrar`],
  [/^Not judged, set aside: (.+)$/s, (rest) => `Sin juzgar, apartado: ${rest}`],
  [/^The clock was set by (\S+) ms$/, (ms) => `El reloj se movió ${ms} ms`],
  [/^Found later, in readings that came late: (.+?)(: [^,]+(?:, limit \S+)?)?, from (\S+)(?: to (\S+)| on)$/s, (title, worst, from, to) => `Hallado después, en lecturas que llegaron tarde: ${tellInSpanish(title ?? '')}${limit(worst ?? '')}, desde ${from}${to ? ` hasta ${to}` : ' en adelante'}`],
  [/^(.+?): signed(?: \((.+)\))?(?: by ([^,()]+))?$/s, (title, proofs, who) => `${tellInSpanish(title ?? '')}: firmado${evidence(proofs)}${by(who)}`],
  [/^(.+?): not so(?: \((.+)\))?(?: by ([^,()]+))?$/s, (title, proofs, who) => `${tellInSpanish(title ?? '')}: no es así${evidence(proofs)}${by(who)}`],
  [/^released \((.+)\)(?: by ([^,()]+))?$/s, (proofs, who) => `liberado${evidence(proofs)}${by(who)}`],
  [/^due again: (.+)$/s, (rest) => `toca de nuevo: ${signed(rest ?? '', tellInSpanish)}`],
  [/^(\S+) signed as (\S+): (.+)$/s, (shift, role, rest) => `${shift} firmado como ${ROLES.get(role ?? '') ?? role}: ${signed(rest ?? '', (meaning) => MEANINGS.get(meaning ?? '') ?? meaning ?? '')}`],
  [/^(\S+) sealed, root (\S+), key (\S+)(.*)$/s, (shift, root, key, rest) => `${shift} sellado, raíz ${root}, clave ${key}${signed(rest ?? '', (none) => none)}`],
  [/^setup changed, (.+)$/s, (rest) => `montaje cambiado, ${signed(rest ?? '', (text) => text)}`],
  [/^photo added, (.+)$/s, (rest) => `foto añadida, ${signed(rest ?? '', (text) => text)}`],
  [/^correction of (\S+?)(, after the seal)?: (.+)$/s, (of, isAfter, rest) => `corrección de ${of}${isAfter ? ', tras el sello' : ''}: ${signed(rest ?? '', (text) => text)}`],
  [/^scenario (\S+) started, seed (\S+)(.*)$/s, (scenario, seed, rest) => `ejercicio ${scenario} empezado, semilla ${seed}${signed(rest ?? '', (none) => none)}`],
  [/^scenario ended: (.+)$/s, (rest) => `ejercicio terminado: ${signed(rest ?? '', (text) => text)}`],
  [/^(\S+) held: its readings are not erased: (.+)$/s, (shift, rest) => `${shift} retenido, sus lecturas no se borran: ${signed(rest ?? '', (text) => text)}`],
  [/^(\S+) no longer held: (.+)$/s, (shift, rest) => `${shift} ya no retenido: ${signed(rest ?? '', (text) => text)}`],
  [/^(\d+) readings of before (\S+) erased: (.+)$/s, (count, before, rest) => `${count} lecturas de antes de ${before} borradas: ${signed(rest ?? '', (text) => text)}`],
  [/^(beacon|recording|telling|outbox|certificate|set-aside) (lost|back)(.*)$/s, (path, state, rest) => `${PATHS[path as AlarmPath]}: ${state === 'lost' ? 'perdido' : 'de vuelta'}${signed(rest ?? '', (text) => text)}`],
  [/^(calibration|bump test) of (.+?)(?:: (.+))?$/s, (kind, point, rest) => `${kind === 'calibration' ? 'calibración' : 'prueba con gas'} de ${tellInSpanish(point ?? '').toLowerCase()}${rest ? `: ${signed(rest, tellParticulars)}` : ''}`],
  [/^note: (.+)$/s, (rest) => `nota: ${signed(rest ?? '', (text) => text)}`],
  [/^handed over to (.+)$/s, (rest) => `entregado a ${signed(rest ?? '', (text) => text)}`],
  [/^hood in: (.+)$/s, (rest) => `bajo escafandra: ${signed(rest ?? '', (text) => text)}`],
  [/^hood out: (.+)$/s, (rest) => `fuera de escafandra: ${signed(rest ?? '', (text) => text)}`],
  [/^shelve, ([^:]+): (.+), until (\S+)(.*)$/s, (_reason, text, until, rest) => `aplaza: ${text}, hasta ${until}${signed(rest ?? '', (none) => none)}`],
  [/^out of service: (.+), approved by (.+?), until (\S+)(.*)$/s, (text, who, until, rest) => `fuera de servicio: ${text}, aprobado por ${who}, hasta ${until}${signed(rest ?? '', (none) => none)}`],
  [/^bump test for (\d+) min(.*)$/s, (minutes, rest) => `prueba con gas durante ${minutes} min${signed(rest ?? '', (none) => none)}`],
  [/^(.+: )?raised(: .+)?$/s, (title, worst) => `${title ? `${tellInSpanish(title.slice(0, -2))}: ` : ''}saltó${limit(worst ?? '')}`],
];

export function tellJournalInSpanish(text: string): string {
  const known = WORDS.get(text);
  if (known !== undefined) return known;
  for (const [pattern, say] of PATTERNS) {
    const parts = pattern.exec(text)?.slice(1);
    if (parts) return say(...parts);
  }
  // Greedy: a title may hold a colon, what became of it holds none.
  const alarm = /^(.+): (.+)$/s.exec(text);
  const said = alarm && phrase(alarm[2] ?? '');
  if (alarm && said !== null) return `${tellInSpanish(alarm[1] ?? '')}: ${said}`;
  return signed(text, (rest) => WORDS.get(rest) ?? entry(rest) ?? tellInSpanish(rest));
}

/** What somebody told by hand: its kind, then figures, place and words as they were told. */
function entry(text: string): string | null {
  const [kind = '', ...rest] = text.split(', ');
  const said = rig.kinds[kind.replaceAll(' ', '-')];
  return said === undefined ? null : [said, ...rest].join(', ');
}

/** A happening of an alarm, with who did it; null where it is none. */
function phrase(text: string): string | null {
  const anew = text.replace(/, announced anew( by .+)?$/s, '$1');
  let isKnown = true;
  const said = signed(anew, (rest) => {
    const known = WORDS.get(rest);
    isKnown = known !== undefined;
    return known ?? rest;
  });
  return isKnown ? `${said}${anew === text ? '' : ', anunciada de nuevo'}` : null;
}

const by = (who: string | undefined): string => (who ? ` por ${who}` : '');

/** What proves a step, piece by piece, and the words of who signed it. */
function evidence(proofs: string | undefined): string {
  return proofs === undefined || proofs === '' ? '' : ` (${proofs.split('; ').map(tellProblemInSpanish).join('; ')})`;
}

/** The particulars of a calibration or bump test. */
function tellParticulars(particulars: string): string {
  return particulars
    .split(', ')
    .map((one) => CHECKED.reduce((text, [english, spanish]) => (text === english.trim() || text.startsWith(english) ? spanish + text.slice(english.length) : text), one))
    .join(', ');
}

/** What was done, by whom, and why it was refused. */
function signed(text: string, say: Say): string {
  const parts = /^(.*?)(?: by ([^,]+))?(?:, refused: (.+))?$/s.exec(text) ?? [];
  const greedy = /^(.*) by ([^,]+?)(?:, refused: (.+))?$/s.exec(text) ?? parts;
  const [, what = text, who, refused] = greedy;
  return `${say(what)}${who ? ` por ${who}` : ''}${refused ? `, rechazado: ${tellProblemInSpanish(refused)}` : ''}`;
}

const limit = (worst: string): string => worst.replace(', limit ', ', límite ');

function changes(rest: string): string {
  return rest.replaceAll(/(:|;) (\S+) from (.+?) to (.+?)(?=;|, because:|$)/g, (_all, mark: string, setting: string, old: string, now: string) => `${mark} ${setting} de ${old === 'as shipped' ? 'lo de fábrica' : old} a ${now === 'as shipped' ? 'lo de fábrica' : now}`).replace(', because: ', ', porque: ');
}

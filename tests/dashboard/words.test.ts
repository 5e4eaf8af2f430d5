import { describe, expect, it } from 'vitest';
import { en } from '../../dashboard/words/en.ts';
import { es } from '../../dashboard/words/es.ts';
import { PUSH_WORDS } from '../../dashboard/words/push-words.ts';
import { fetchWords } from '../../dashboard/words/languages.ts';
import { type Cause, THINGS_TO_CHECK, thingsToCheck } from '../../domain/air/likely-cause.ts';
import type { AlarmState } from '../../domain/alarms/alarm.ts';
import type { AlarmHappening } from '../../domain/alarms/alarm-step.ts';
import { type Language, LANGUAGE_CODES } from '../../domain/shift/language.ts';
import { ALARM_TABLE } from '../../domain/alarms/table.ts';
import { POINT_KINDS } from '../../domain/points/catalogue.ts';
import { BEFORE_STEPS } from '../../domain/shift/readiness/before-steps.ts';
import { CLOSING_STEPS } from '../../domain/shift/readiness/closing-steps.ts';
import { CHECKS_DONE } from '../../domain/shift/readiness/judge-readiness.ts';
import { ENTRY_SPECS, STOP_REASONS } from '../../domain/shift/entry-kind.ts';
import { ASSUMPTIONS } from '../../domain/shift/summary/summarise.ts';
import { EXPOSURE_ASSUMPTIONS } from '../../domain/shift/summary/people.ts';
import { CLIMATE, MOISTURE } from '../../domain/shift/summary/windows.ts';
import { EVENT_WORDS } from '../../domain/shift/readiness/step.ts';
import { problemPhrases } from '../../domain/words/es-problem-phrases.ts';
import { NOTICE_WORDS } from '../../domain/words/notice-words.ts';
import { REPORT_WORDS } from '../../domain/words/report-words.ts';
import { TERMS } from '../../domain/words/terms.ts';
import { journalText } from '../../server/api/journal-text.ts';
import type { JournalItem } from '../../server/record/store.ts';
import { spokenSentences } from '../support/spoken-sentences.ts';

/** Every word of a language by its place, e.g. `alarms.iHaveIt`; a function is asked with what is told apart in the result. */
function leaves(node: unknown, path: string): [string, string][] {
  if (typeof node === 'string') return [[path, node]];
  if (typeof node === 'function') return [[path, String((node as (...given: unknown[]) => unknown)(...Array.from({ length: Math.max(node.length, 1) }, (_, i) => GIVEN[i])))]];
  return Object.entries(node as object).flatMap(([key, value]) => leaves(value, path === '' ? key : `${path}.${key}`));
}

/** Strings that work as names, and as numbers where a plural is asked for. */
const GIVEN = ['7', '8', '9', '11'];

/** The same in both languages: names, signs, units, and words that are spelt alike. */
const ALIKE = /^settingsScreen\.(choices\.(json|senml|sparkplug|en|es)|sensors\.sensor|device\.zones\.utc)$|^(product|second|minute|hour|noValue|signIn\.pin|told|problem|journalLine|settings\.(us|si)|(terms\.)?roles\.supervisor|air\.since)$|\.(offset|duration|by|fromTo|place|signedBy|signed)$|signedInAs|directions\.|shifts\.log\.signed|trace\.(markLetters|zones\.utc)|startForm\.(sensor|examples\.notes|jobs\.2)|sizing\.names|ready\.notes\.holds|reasons\.client$|push\.title$|report\.sensor$|people\.(sessions\.ways\.token|list\.marks\.pin|tokens\.once|messages\.(channelNames\.(push|webhook)|kinds\.webhook|meanings\.[02]\.0))$/;

/** All that is worded anew for each language: the page, and what the server says by itself. */
async function tables(code: Language): Promise<Map<string, string>> {
  return new Map([...leaves(await fetchWords(code), ''), ...leaves(TERMS[code], 'terms'), ...leaves(NOTICE_WORDS[code], 'notices'), ...leaves(REPORT_WORDS[code], 'report'), ...leaves(PUSH_WORDS[code], 'push')]);
}

const english = await tables('en');

describe.each(LANGUAGE_CODES.filter((code) => code !== 'en'))('language %s', (code) => {
  it('has every word of page, messages and worker, and none left in English', async () => {
    expect((await fetchWords(code)).language).toBe(code);
    const other = await tables(code);
    expect([...other.keys()].sort()).toEqual([...english.keys()].sort());
    const same = [...other].filter(([path, text]) => english.get(path) === text && /[a-z]{3}/i.test(text) && !ALIKE.test(path)).map(([path, text]) => `${path}: ${text}`);
    expect(same).toEqual([]);
    for (const [path, text] of other) if (english.get(path) !== '' && path !== 'settingsScreen.hint') expect(text, path).not.toBe('');
  });

  it('keeps everything that is put into a sentence', async () => {
    const other = await tables(code);
    const given = (text: string): string[] => GIVEN.filter((value) => new RegExp(`(?<!\\d)${value}(?!\\d)`).test(text));
    // A description of the schema is looked up like a sentence of the server, not put into one.
    for (const [path, text] of english) if (path !== 'settingsScreen.hint') expect(given(other.get(path) ?? ''), path).toEqual(given(text));
  });
});

/** Where it is said why an order is not carried out. */
const SPEAKING = ['server/api', 'server/access', 'server/settings', 'server/notify', 'server/drills', 'server/export', 'domain/shift', 'domain/alarms', 'domain/site'];

describe('why the server does not do something', () => {
  /** Put together by the sources from two places, or said as what comes back from a function. */
  const PIECES = ['first: {}', 'already signed by {}', 'its value is missing', 'the wet bulb is missing', 'say where', 'say what', '{}: found {} {}, expected {} to {} {}', '{}: found the unit {}, expected one of {}, e.g. {}', '; the last who changed it here was {}', 'something went wrong here; the log says what'];
  // A sentence around another one is told piece by piece.
  const sentences = spokenSentences(SPEAKING).filter((sentence) => sentence !== '{}: {}');

  it('is known in Spanish, each sentence of the sources, and no sentence that they no longer say', () => {
    expect(sentences.filter((sentence) => !Object.hasOwn(problemPhrases, sentence))).toEqual([]);
    expect(Object.keys(problemPhrases).filter((known) => !sentences.includes(known) && !PIECES.includes(known))).toEqual([]);
  });

  it('keeps every value that is put in, each in its place', () => {
    const unlike = Object.entries(problemPhrases).filter(([english, spanish]) => {
      const holes = (english.match(/\{\}/g) ?? []).map((_, index) => String(index + 1));
      return JSON.stringify([...spanish.matchAll(/\{(\d)=?\}/g)].map(([, place]) => place)) !== JSON.stringify(holes);
    });
    expect(unlike).toEqual([]);
    for (const english of sentences) {
      let n = 0;
      const said = english.replaceAll('{}', () => `x${++n}`);
      expect(es.problem(said), english).toBe((problemPhrases[english] ?? '').replaceAll(/\{(\d)=?\}/g, 'x$1'));
    }
  });

  it('is told piece by piece: names and values as they are, words of ours in Spanish', () => {
    expect(es.problem('there is no rig "rig-z"')).toBe('no hay ningún equipo "rig-z"');
    expect(es.problem('R. Calder signed it as supervisor: the second signature is of another role')).toBe('R. Calder lo firmó como supervisor: la segunda firma es de otra función');
    expect(es.problem('it is suppressed by design: there is nothing to acknowledge')).toBe('está suprimida por diseño: no hay nada que reconocer');
    expect(es.problem('Needle at the nozzle: found 500 psi, expected 0 to 300 psi')).toBe('Aguja en la boquilla: 500 psi no puede ser, se esperaba de 0 a 300 psi');
    expect(es.problem('a safety officer can’t shelve this alarm')).toBe('esta alarma no la puede aplazar un responsable de seguridad');
    expect(es.problem('not ready, because Compressor: due again, the compressor was restarted; and 3 more')).toBe('no está listo, porque Compresor: toca de nuevo, se rearrancó el compresor; y 3 más');
    expect(es.problem('Air: supply above 50 psi and not above the vessel’s rating: not so, 42 psi (50 to 125)')).toMatch(/: no es así, 42 psi \(50 a 125\)$/);
    for (const own of ['Gate the quay crane', 'R. Calder', '']) expect(es.problem(own)).toBe(own);
    for (const sentence of sentences) expect(en.problem(sentence)).toBe(sentence);
  });
});

describe('what the server says', () => {
  const steps = [...BEFORE_STEPS, ...CLOSING_STEPS];
  const phrases = [
    ...ALARM_TABLE.flatMap(({ title, cause, consequence, response, respondWithin }) => [title, cause, consequence, response, respondWithin]),
    ...steps.flatMap((step) => [step.title, ...step.todo, step.seen, step.ifNot, ...step.proofs.map(({ says }) => says)]),
    ...Object.values(EVENT_WORDS),
    ...POINT_KINDS.flatMap(({ label }) => [label, label.toLowerCase()]),
    CHECKS_DONE,
    ...Object.values(ENTRY_SPECS).map(({ label }) => label),
    ...STOP_REASONS,
    ...[...MOISTURE, ...CLIMATE].flatMap(({ says, source }) => [says, source]),
    ...ASSUMPTIONS,
    ...EXPOSURE_ASSUMPTIONS,
    ...(Object.keys(THINGS_TO_CHECK) as Cause[]).flatMap((cause) => thingsToCheck({ cause, misfit: 0 })),
    ...(['supply-hose', 'separator', 'machine-and-blast-hose'] as const).flatMap((part) => thingsToCheck({ cause: 'restriction', part, misfit: 0 })),
  ];

  it('is told in Spanish, each alarm, step and point', () => {
    // Times as they are: 15 min.
    expect(phrases.filter((phrase) => es.told(phrase) === phrase && !/^\d+ (min|h|s)$/.test(phrase))).toEqual([]);
  });

  it('has headlines of at most 60 characters in both languages', () => {
    expect(ALARM_TABLE.flatMap(({ title }) => [title, es.told(title)]).filter((title) => title.length > 60)).toEqual([]);
  });

  it('is put together from what is known, with names and numbers as they are', () => {
    expect(es.told('Sensor lost: nozzle pressure')).toBe('Sensor perdido: presión en la boquilla');
    expect(es.told('3/8 in nozzle, 100 ft of 1 1/4 in hose')).toBe('boquilla de 3/8 in, 100 ft de manguera de 1 1/4 in');
    expect(es.told('3/8 in nozzle, 100 ft of 1 1/4 in hose, vessel rated 125 psi')).toBe('boquilla de 3/8 in, 100 ft de manguera de 1 1/4 in, placa de la tolva 125 psi');
    expect(es.told('not ready, because Compressor: due again, the compressor was restarted; and 3 more')).toBe('no está listo, porque Compresor: toca de nuevo, se rearrancó el compresor; y 3 más');
    expect(es.told('due again, signed more than 4 h ago')).toBe('toca de nuevo, firmado hace más de 4 h');
  });

  it('tells the journal, line by line, with what people wrote as they wrote it', () => {
    const row = (kind: JournalItem['kind'], detail: Record<string, unknown>): string => journalText({ kind, detail, atMs: 0 } as unknown as JournalItem);
    const states: readonly AlarmState[] = ['normal', 'unacknowledged', 'acknowledged', 'returned-to-normal-unacknowledged', 'latched-unacknowledged', 'latched-acknowledged', 'shelved', 'suppressed-by-design', 'out-of-service'];
    const happenings: readonly AlarmHappening[] = ['silenced-at-rig', 'out-confirmed', 'shelved', 'unshelved', 'unsuppressed', 'out-of-service', 'in-service', 'reset', 'closed'];
    const alarms = [...states.map((to) => ({ to })), ...happenings.map((what) => ({ what, to: 'normal' })), { what: 'unshelved', to: 'unacknowledged' }].flatMap((detail) => [detail, { ...detail, by: 'R. Calder' }]);
    const actions = [
      { kind: 'acknowledge', atRig: true }, { kind: 'acknowledge', atRig: false }, { kind: 'confirm-out' }, { kind: 'unshelve' }, { kind: 'in-service' }, { kind: 'hood-in', name: 'Lee' }, { kind: 'hood-out', name: 'Lee' },
      { kind: 'ready-sign', step: 'pressure', note: 'vane up', evidence: ['supply above 50 psi and not above the vessel’s rating: 96 psi (50 to 125)', 'CO below its limit: read by hand'] }, { kind: 'ready-fail', step: 'pressure', text: 'hiss' }, { kind: 'ready-again', event: 'compressor-restart' },
      { kind: 'sign-off', shift: 'quay-4-7', role: 'supervisor', meaning: 'checked and complete' }, { kind: 'seal-shift', shift: 'quay-4-7', root: 'ab'.repeat(32), fingerprint: 'cd'.repeat(32) }, { kind: 'change-setup', shift: 'quay-4-7' }, { kind: 'add-photo', photo: 'ef'.repeat(32) },
      { kind: 'correct', of: 'quay-4-7', sealed: { root: 'ab' }, text: 'otra' }, { kind: 'start-drill', scenario: 'kink', seed: 3 }, { kind: 'end-drill', because: 'fin' }, { kind: 'hold-record', shift: 'quay-4-7', isHeld: true, reason: 'pedido' }, { kind: 'hold-record', shift: 'quay-4-7', isHeld: false, reason: 'pedido' },
      { kind: 'erase-readings', samples: 12, beforeMs: 0, text: 'plazo' }, { kind: 'alarm-path', path: 'beacon', isDead: true, detail: '' }, { kind: 'alarm-path', path: 'telling', isDead: false, detail: '' },
      { kind: 'record-bump-test', point: 'breathing-air-co', doneAtMs: 0, doneBy: 'Lee', text: '', gas: { value: 50, unit: '[ppm]' }, isPassed: true }, { kind: 'record-calibration', point: 'supply-pressure', doneAtMs: 0, doneBy: '', text: '', certificate: 'K-7', dueAtMs: 86_400_000, asFound: { value: 1, unit: '[psi]' }, asLeft: null },
      { kind: 'bump-test', minutes: 5 }, { kind: 'bump-test', minutes: 0 }, { kind: 'start-shift' }, { kind: 'end-shift' }, { kind: 'ready-begin', sequence: 'before' }, { kind: 'ready-hold', start: true }, { kind: 'ready-release' },
    ].map((detail) => ({ ...detail, by: 'R. Calder' }));
    const lines = [
      ...alarms.map((detail) => row('alarm', { title: 'Nozzle pressure low', ...detail })),
      row('alarm', { title: 'Carbon monoxide high in the breathing air', to: 'unacknowledged', value: 12, limit: 10, unit: '[ppm]' }),
      ...actions.map((detail) => row('action', detail)),
      row('config', { version: '8c1f2a77b0de', by: 'ada', changes: [{ setting: 'alarms.co-high.limit', old: null, new: '8ppm' }], why: 'menos' }),
      row('unheard', { fromMs: 0 }), row('clock', { jumpMs: 5 }), row('found-later', { title: 'Supply pressure low', value: 40, unit: '[psi]', limit: 50, fromMs: 0 }),
    ];
    const english = /\b(the|and|of|is|not|with|from|was|by|raised|back|in force|shift|out|signed|sealed|added|certificate|passed|held|started|lost|erased|due|done|found|at least|read)\b/i;
    expect(lines.map((line) => es.journalLine(line)).filter((line) => english.test(line))).toEqual([]);
    expect(es.journalLine(row('action', { kind: 'note', text: 'parked by the gate, moved', by: 'R. Calder' }))).toBe('nota: parked by the gate, moved por R. Calder');
    expect(es.journalLine(row('action', { kind: 'acknowledge', atRig: true, by: 'R. Calder', refusal: 'no such alarm' }))).toBe('reconoce, en el equipo por R. Calder, rechazado: no such alarm');
    expect(es.journalLine(row('action', { kind: 'entry', entry: 'blotter', text: 'dry', by: 'R. Calder' }))).toBe('Papel secante, dry por R. Calder');
    expect(es.journalLine(row('action', { kind: 'ready-sign', step: 'pressure', note: 'vane up', evidence: ['CO below its limit: read by hand'], by: 'R. Calder' }))).toMatch(/: firmado \(vane up; CO por debajo de su límite: leído a mano\) por R\. Calder$/);
    expect(es.journalLine(row('alarm', { title: 'CO monitor: bump test due', to: 'normal' }))).toBe('Monitor de CO: toca prueba con gas: de vuelta a lo normal');
    expect(es.journalLine(row('alarm', { title: 'Line air wet', to: 'unacknowledged', drill: true }))).toBe('Simulacro: Aire de línea húmedo: saltó');
  });

  it('stands as it was written where a site or a person wrote it', () => {
    for (const own of ['Gate the quay crane', 'R. Calder', 'Kabine 3 räumen', '']) expect(es.told(own)).toBe(own);
    for (const phrase of phrases) expect(en.told(phrase)).toBe(phrase);
  });
});

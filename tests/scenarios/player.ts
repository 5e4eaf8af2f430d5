import { expect } from 'vitest';
import { parse } from 'yaml';
import type { AlarmPath } from '../../domain/alarms/situation.ts';
import type { EntryKind } from '../../domain/alarms/situation.ts';
import { findPointKind } from '../../domain/points/catalogue.ts';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { Action, LoggedReading } from '../../domain/site/log.ts';
import { SiteEvaluator } from '../../domain/site/site-evaluator.ts';
import type { LiveAlarm } from '../../domain/wire/live.ts';
import { parseSiteConfig } from '../../domain/wire/site-yaml.ts';
import { describeFlood, standingAlarms } from '../../server/live/describe-alarm.ts';
import { FoldedSite } from '../support/folded-site.ts';
import { parseTime, type Step, type Story } from './notation.ts';

const ROLES = 'tender|supervisor|safety-officer|administrator';

/** Plays a story on a folded site; a failed expectation names its line. */
export function play(story: Story): void {
  const site = new FoldedSite(siteOf(story.settings));
  for (const step of story.steps) {
    try {
      if (step.text.startsWith('expect ')) check(site, step);
      else perform(site, step);
    } catch (error) {
      (error as Error).message = `${story.file}:${step.line}: at ${step.atMs / 1000} s ${step.text}\n${(error as Error).message}`;
      throw error;
    }
  }
}

function siteOf(settings: readonly string[]): SiteConfig {
  let rigs = 2;
  let respirator = '';
  const more: Record<string, unknown> = {};
  const alarms: Record<string, Record<string, unknown>> = {};
  for (const setting of settings) {
    const [what = '', ...rest] = setting.split(' ');
    const pairs = Object.fromEntries(rest.join(' ').split(', ').map((pair) => pair.split(' ')).map(([key = '', value = '']) => [key, value === 'true' ? true : /^\d+$/.test(value) ? Number(value) : value]));
    if (what === 'rigs') rigs = Number(rest[0]);
    else if (what === 'respirator') respirator = `respirator: { pressure: ${rest[0]} }, `;
    else if (what === 'regime') more['regime'] = rest[0];
    else if (what === 'flood') more['flood'] = pairs;
    else alarms[what] = pairs;
  }
  const ids = Array.from({ length: rigs }, (_, index) => `rig-${String.fromCharCode(97 + index)}`);
  const build = `vessel: { rated-pressure: 125psi, volume: 6.5ft3 }, hose: { bore: 1.25in, length: 100ft }, nozzle: { bore: 7/16in }, wanted: { nozzle-pressure: 90psi..105psi }`;
  const yaml = [
    'site: { id: pier-9, name: Pier 9, zone: America/Chicago, elevation: 180m }',
    `compressors: [{ id: comp-1, rated-flow: 750cfm, rated-pressure: 125psi, intake-bearing: 270deg, serves: [${ids.join(', ')}] }]`,
    'rigs:',
    ...ids.map((id) => `  - { id: ${id}, ${respirator}${build} }`),
  ].join('\n');
  const read = parseSiteConfig({ ...(parse(yaml) as object), ...more, alarms });
  if ('problems' in read) throw new Error(JSON.stringify(read.problems));
  return read.config;
}

function perform(site: FoldedSite, { atMs, text }: Step): void {
  if (text === 'restart') site.evaluator = SiteEvaluator.load(JSON.parse(JSON.stringify(site.evaluator.save())));
  else if (text.startsWith('reading ')) site.read(readingOf(text.slice(8), atMs));
  else if (text.startsWith('quarantined ')) site.quarantine(atMs, text.slice(12));
  else if (text.startsWith('clock jumps ')) site.jump(atMs, parseTime(text.slice(12)));
  else {
    const isRefused = text.startsWith('refused ');
    const { refusal } = site.act(atMs, actionOf(site, isRefused ? text.slice(8) : text, atMs));
    if (isRefused) expect(refusal, 'expected a refusal').not.toBeNull();
    else expect(refusal).toBeNull();
  }
}

function readingOf(said: string, atMs: number): LoggedReading {
  const [, owner, point = '', value = ''] = /^(?:((?:rig-[a-z])|comp-1) )?(\S+) (.+)$/.exec(said) ?? [];
  const kind = findPointKind(point);
  if (!kind) throw new Error(`no point ${point}`);
  const usual = { rig: 'rig-a', compressor: 'comp-1', site: 'pier-9' }[kind.owner];
  const base = { owner: owner ?? usual, point, observedAtMs: atMs, receivedAtMs: atMs, late: false, sequence: 0 } as const;
  if (value === 'nothing') return { ...base, value: null, quality: 'bad', reason: 'undecodable' };
  if (value === 'over range') return { ...base, value: kind.plausible[1] + 1, quality: 'bad', reason: 'out-of-range' };
  const doubtful = /^doubtful (.+)$/.exec(value)?.[1];
  const number = Number(doubtful ?? { held: 1, released: 0 }[value] ?? value);
  if (Number.isNaN(number)) throw new Error(`not a value: ${value}`);
  return doubtful === undefined ? { ...base, value: number, quality: 'good', reason: null } : { ...base, value: number, quality: 'uncertain', reason: 'loop-saturated' };
}

let keys = 0;

function actionOf(site: FoldedSite, text: string, atMs: number): Action {
  const [, said = text, role = 'supervisor', where] = new RegExp(`^(.+?) by (${ROLES})( at the rig)?$`).exec(text) ?? [];
  const who = { by: role, role, from: 'test', key: `story-${++keys}` };
  const [, plain = said, rig = 'rig-a'] = /^(.+?) on (rig-[a-z])$/.exec(said) ?? [];
  const rest = (start: string): string => plain.slice(start.length).trim();
  const alarm = (name: string): string => find(site, `${name}${name.includes(' on ') ? '' : ` on ${rig}`}`)?.id ?? keyOf(site, name, rig);
  if (plain.startsWith('acknowledge ')) return { ...who, kind: 'acknowledge', alarm: alarm(rest('acknowledge')), atRig: where !== undefined };
  if (plain.startsWith('confirm out ')) return { ...who, kind: 'confirm-out', alarm: alarm(rest('confirm out')) };
  if (plain.startsWith('reset ')) return { ...who, kind: 'reset', alarm: alarm(rest('reset')) };
  if (plain.startsWith('unshelve ')) return { ...who, kind: 'unshelve', alarm: alarm(rest('unshelve')) };
  if (plain.startsWith('in service ')) return { ...who, kind: 'in-service', alarm: alarm(rest('in service')) };
  const [, shelved, forTime] = /^shelve (\S+) for (.+)$/.exec(plain) ?? [];
  if (shelved && forTime) return { ...who, kind: 'shelve', alarm: alarm(shelved), reason: 'sensor-faulty', text: 'as told', untilMs: atMs + parseTime(forTime) };
  const [, out, outTime, approver = ''] = /^out of service (\S+) for (.+?) approved by (\S+)$/.exec(plain) ?? [];
  if (out && outTime) return { ...who, kind: 'out-of-service', alarm: alarm(out), approvedBy: approver, text: 'as told', untilMs: atMs + parseTime(outTime) };
  if (plain === 'shift starts') return { ...who, kind: 'start-shift', rig };
  if (plain === 'shift ends') return { ...who, kind: 'end-shift', shift: site.evaluator.shifts.find((shift) => shift.rig === rig)?.id ?? '' };
  if (plain.startsWith('hood in ')) return { ...who, kind: 'hood-in', rig, name: rest('hood in') };
  if (plain.startsWith('hood out ')) return { ...who, kind: 'hood-out', rig, name: rest('hood out') };
  const [, certified] = /^calibration record due in (.+)$/.exec(plain) ?? [];
  if (certified) return { ...who, kind: 'record-calibration', rig, point: 'breathing-air-co', certificate: `C-${keys}`, doneBy: '', doneAtMs: atMs, dueAtMs: atMs + parseTime(certified), asFound: null, asLeft: null, text: '' };
  if (/^bump test record (passed|failed)$/.test(plain)) return { ...who, kind: 'record-bump-test', rig, point: 'breathing-air-co', gas: { value: 50, unit: '[ppm]' }, isPassed: plain.endsWith('passed'), doneBy: '', doneAtMs: atMs, text: '' };
  if (plain.startsWith('bump test ')) return { ...who, kind: 'bump-test', rig, minutes: parseTime(rest('bump test')) / 60_000 };
  if (plain.startsWith('lost ')) return { ...who, kind: 'alarm-path', path: rest('lost') as AlarmPath, isDead: true, detail: '' };
  if (plain.startsWith('back ')) return { ...who, kind: 'alarm-path', path: rest('back') as AlarmPath, isDead: false, detail: '' };
  const [, entry, value] = /^entry (\S+)(?: (-?[\d.]+))?$/.exec(plain) ?? [];
  if (entry) return { ...who, kind: 'entry', rig, entry: entry as EntryKind, value: value === undefined ? null : Number(value), place: '', text: '' };
  throw new Error(`not understood: ${text}`);
}

function keyOf(site: FoldedSite, name: string, rig: string): string {
  return [...site.evaluator.alarms()].find(({ bound }) => bound.rule.name === name && bound.owner === rig)?.bound.key ?? name;
}

function all(site: FoldedSite): LiveAlarm[] {
  return standingAlarms(site.evaluator);
}

/** Of rig-a unless told otherwise; a compressor's or the site's are found by name. */
function find(site: FoldedSite, said: string): LiveAlarm | undefined {
  const [, name = said, rig] = /^(\S+) on (\S+)$/.exec(said) ?? [];
  return all(site).find((alarm) => alarm.name === name && (rig === undefined || alarm.owner === rig)) ?? all(site).find((alarm) => alarm.name === name && alarm.rig === null);
}

function check(site: FoldedSite, { atMs, text }: Step): void {
  if (site.evaluator.atMs < atMs) site.tick(atMs);
  const said = text.slice(7);
  const held = all(site).map(({ name, owner, state }) => `${name} on ${owner} ${state}`);
  const raised = (name: string): number => site.moves.filter(({ what, rule, occurrence }) => what === 'raised' && rule.name === name && occurrence.state === 'unacknowledged').length;
  const [, name = '', rig = 'rig-a', rest = ''] = /^(\S+)(?: on (\S+))? (.+)$/.exec(said) ?? [];
  const one = find(site, `${name} on ${rig}`);
  const [, times] = /^raised (\d+) times?$/.exec(rest) ?? [];
  const [, leader, offset] = /^under (\S+)(?: \+(\d+) ms)?$/.exec(rest) ?? [];
  if (said === 'nothing') expect(held).toEqual([]);
  else if (said === 'nothing audible') expect(all(site).filter(({ sound }) => sound !== 'none')).toEqual([]);
  else if (said === 'flood' || said === 'no flood') expect(describeFlood(site.evaluator) !== null).toBe(said === 'flood');
  else if (said.startsWith('no ')) expect(find(site, said.includes(' on ') ? said.slice(3) : `${said.slice(3)} on rig-a`), held.join(', ')).toBeUndefined();
  else if (times !== undefined) expect(raised(name)).toBe(Number(times));
  else if (rest === 'on top') expect(all(site)[0], held.join(', ')).toMatchObject({ name, owner: one?.owner ?? rig });
  else if (leader !== undefined) expect(one, held.join(', ')).toMatchObject({ group: find(site, leader)?.id, ...(offset === undefined ? {} : { offsetMs: Number(offset) }) });
  else {
    expect(one, `${name} on ${rig} among: ${held.join(', ')}`).toBeDefined();
    checkWords(one as LiveAlarm, rest);
  }
}

function checkWords(alarm: LiveAlarm, words: string): void {
  for (const word of words.split(', ')) {
    if (word === 'chattering' || word === 'not chattering') expect(alarm.chattering).toBe(word === 'chattering');
    else if (word === 'first out') expect(alarm.firstOut).toBe(true);
    else if (word === 'silenced at the rig' || word === 'not silenced at the rig') expect(alarm.silencedAtRig).toBe(!word.startsWith('not'));
    else if (word === 'awaits blaster out') expect(alarm.out).toBe('awaited');
    else if (word === 'blaster out') expect(alarm.out).toBe('confirmed');
    else if (word.startsWith('sounds as ')) expect(alarm.sound).toBe(word.slice(10));
    else if (/^(critical|high|medium|low)$/.test(word)) expect(alarm.priority).toBe(word);
    else if (word.startsWith('taken by ')) expect(alarm.acknowledgedBy).toBe(word.slice(9));
    else if (word.startsWith('value ')) expect(alarm.value).toBe(Number(word.slice(6)));
    else expect(alarm.state).toBe(word.replaceAll(' ', '-'));
  }
}

import { expect, it } from 'vitest';
import type { RotaTurn } from '../../domain/shift/server-config.ts';
import { isQuiet, localTime, whoIsTold } from '../../server/notify/who-is-told.ts';
import { parseSiteYaml } from '../../host/read-site-config.ts';
import { SITE_YAML } from '../support/site.ts';

const PEOPLE = [{ name: 'olga', role: 'safety-officer' }, { name: 'dana', role: 'supervisor' }, { name: 'kim', role: 'supervisor' }];
const turn = (who: string, days: number[], from: number, to: number): RotaTurn => ({ who, days, fromMin: from * 60, toMin: to * 60 });
const ROTAS = { call: [turn('dana', [1, 2, 3, 4, 5], 6, 18), turn('kim', [1, 2, 3, 4, 5, 6, 7], 18, 6)] };

it.each([
  [1, 12 * 60, ['dana']],
  [6, 12 * 60, []],
  [1, 17 * 60 + 59, ['dana']],
  [1, 18 * 60, ['kim']],
  // Past midnight the turn is still that of the day before.
  [1, 3 * 60, ['kim']],
  [6, 6 * 60, []],
])('on day %i at minute %i the rota names %j', (day, min, people) => {
  expect(whoIsTold([{ kind: 'rota', id: 'call' }], PEOPLE, ROTAS, { day, min }).people).toEqual(people);
});

it('each is told once, however often the step names them; who is gone is not', () => {
  const to = [{ kind: 'role', id: 'supervisor' }, { kind: 'person', id: 'dana' }, { kind: 'person', id: 'gone' }, { kind: 'webhook', id: 'ops' }] as const;
  expect(whoIsTold(to, PEOPLE, {}, { day: 1, min: 0 })).toEqual({ people: ['dana', 'kim'], webhooks: ['ops'] });
});

it('the clock is the site’s, through a change to summer time', () => {
  expect(localTime(Date.parse('2026-03-08T07:59:00Z'), 'America/Chicago')).toEqual({ day: 7, min: 119 });
  expect(localTime(Date.parse('2026-03-08T08:00:00Z'), 'America/Chicago')).toEqual({ day: 7, min: 180 });
});

it('quiet hours may run past midnight', () => {
  const contact = { email: null, quiet: { fromMin: 22 * 60, toMin: 6 * 60 }, language: null };
  expect([21, 22, 23, 0, 5, 6].map((hour) => isQuiet(contact, { day: 1, min: hour * 60 }))).toEqual([false, true, true, true, true, false]);
});

it.each([
  ['notify: { plans: { critical: [{ after: 0s, to: [boss] }] } }', /expected person:NAME, role:ROLE/],
  ['notify: { plans: { critical: [{ after: 0s, to: ["role:boss"] }] } }', /expected a role/],
  ['notify: { plans: { critical: [{ after: 0s, to: ["rota:nights"] }] } }', /there is no rota "nights"/],
  ['notify: { plans: { critical: [{ after: 30s, to: ["role:manager"] }, { after: 10s, to: ["role:manager"] }] } }', /must come after/],
  ['notify: { webhooks: [{ id: ops, url: "http://x.example", secret-file: a }] }', /https/],
  ['notify: { seals: ["webhook:archive"] }', /there is no webhook "archive"/],
  ['notify: { rotas: { call: [{ who: dana, from: "6:00", to: "18:00" }] } }', /"06:30"/],
  ['open-id: { issuer: "https://x.example", client-id: a, name: b, groups: [{ group: g, role: tender }] }', /expected page as well/],
])('%s is refused with what was expected', (yaml, expected) => {
  expect(() => parseSiteYaml(`${SITE_YAML}\n${yaml}\n`, 'site.yaml')).toThrow(expected);
});

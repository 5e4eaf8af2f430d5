import { CAUSE_ANSWERS, CAUSE_CASES } from './score-cause.ts';
import { FAULT_CASES } from './score-alarms.ts';
import { median } from './line-watch.ts';
import type { Scores } from './scores.ts';

const row = (...cells: readonly (string | number)[]): string => `| ${cells.join(' | ')} |`;
const seconds = (s: number): string => (s < 120 ? `${Math.round(s)} s` : `${(s / 60).toFixed(1)} min`);

/** Hours that count as one shift where a rate a shift is told. */
const SHIFT_H = 10;

/** The generated part of docs/scores.md. */
export function renderScores({ seeds, quiet, faults, causes, bores }: Scores): string {
  const shifts = quiet.rigHours / SHIFT_H;
  const inside = bores.filter(({ truth, low, high }) => low <= truth && truth <= high).length;
  const errors = bores.map(({ truth, value }) => Math.abs(value - truth));
  const bias = bores.reduce((sum, { truth, value }) => sum + value - truth, 0) / Math.max(1, bores.length);
  return [
    `Seeds 1 to ${seeds}.`,
    '',
    '### False alarms on uneventful days',
    '',
    row('watched', 'critical', 'audible', 'audible a rig-shift of 10 h'),
    '|---|---:|---:|---:|',
    row(`${Math.round(quiet.rigHours)} rig-hours`, quiet.critical, quiet.audible.length, (quiet.audible.length / shifts).toFixed(2)),
    '',
    '### Faults found, and how soon',
    '',
    row('scenario', 'what went wrong', 'clips', 'found', 'median delay', '90 % within'),
    '|---|---|---:|---:|---:|---:|',
    ...FAULT_CASES.map(({ scenario, cause }) => faultRow(scenario, cause, faults[scenario] ?? { clips: 0, delaysS: [] })),
    '',
    '### Likely cause named',
    '',
    row('really', 'clips', 'rightly', ...CAUSE_ANSWERS),
    `|---|---:|---:|${CAUSE_ANSWERS.map(() => '---:|').join('')}`,
    ...CAUSE_CASES.map(({ truth, right }) => causeRow(truth, right, causes[truth] ?? {})),
    '',
    '### Bore estimated',
    '',
    row('estimates', 'truth inside the stated 95 % interval', 'median error', 'mean of the errors with their sign'),
    '|---:|---:|---:|---:|',
    row(bores.length, bores.length === 0 ? '–' : `${((100 * inside) / bores.length).toFixed(1)} %`, `${median(errors).toFixed(2)} mm`, `${bias.toFixed(2)} mm`),
  ].join('\n');
}

function faultRow(scenario: string, cause: string, { clips, delaysS }: { readonly clips: number; readonly delaysS: readonly number[] }): string {
  const at = (share: number): string => (delaysS.length === 0 ? '–' : seconds(delaysS[Math.min(delaysS.length - 1, Math.floor(share * delaysS.length))] ?? Number.NaN));
  return row(`\`${scenario}\``, cause, clips, delaysS.length, at(0.5), at(0.9));
}

function causeRow(truth: string, right: readonly string[], answers: Readonly<Record<string, number>>): string {
  const clips = Object.values(answers).reduce((sum, n) => sum + n, 0);
  const rightly = right.reduce((sum, answer) => sum + (answers[answer] ?? 0), 0);
  return row(truth, clips, rightly, ...CAUSE_ANSWERS.map((answer) => answers[answer] ?? 0));
}

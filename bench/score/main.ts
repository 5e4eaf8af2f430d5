import { readFileSync, writeFileSync } from 'node:fs';
import { renderScores } from './render-scores.ts';
import { scoreSeeds } from './scores.ts';

/** Scores what Potside infers against what the simulator knows, over many seeds, into docs/scores.md. `SCORE_SEEDS` sets how many. */
const SEEDS = Number(process.env['SCORE_SEEDS'] ?? 200);
const DOC = 'docs/scores.md';
const BEGIN = '<!-- generated: do not edit -->';
const END = '<!-- end of generated -->';

const scores = scoreSeeds(SEEDS, (seed) => {
  if (seed % 10 === 0) process.stderr.write(`seed ${seed} of ${SEEDS}\n`);
});
const table = renderScores(scores);
const text = readFileSync(DOC, 'utf8');
const [before] = text.split(BEGIN);
const after = text.split(END)[1];
if (after === undefined) throw new Error(`${DOC} has no generated part`);
writeFileSync(DOC, `${before}${BEGIN}\n\n${table}\n\n${END}${after}`);
process.stdout.write(`${table}\n`);
for (const line of scores.quiet.audible) process.stdout.write(`false alarm, ${line}\n`);

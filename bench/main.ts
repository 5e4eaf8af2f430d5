import { writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { benchFold } from './fold.ts';
import type { Result } from './measure.ts';

/** Runs every benchmark, prints a table and writes `bench/results.json`. */
const BENCHES: readonly (() => Promise<Result>)[] = [benchFold];

const results: Result[] = [];
for (const bench of BENCHES) {
  const result = await bench();
  results.push(result);
  console.log(`${result.name.padEnd(48)} ${Math.round(result.value).toLocaleString('en')} ${result.unit}, floor ${Math.round(result.floor).toLocaleString('en')}, ratio ${result.ratio.toFixed(3)} (${result.spread.map((ratio) => ratio.toFixed(3)).join(' to ')})`);
}
writeFileSync('bench/results.json', `${JSON.stringify(results, null, 2)}\n`);
console.log(`Written to bench/results.json. ${cpus().length} cores, Node ${process.version}. Quote the ratios, not the numbers.`);

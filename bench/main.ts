import { writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { benchFold } from './fold.ts';
import { benchGraph } from './graph.ts';
import type { Result } from './measure.ts';
import { benchSimulation } from './simulation.ts';
import { benchLatency } from './pipeline/latency.ts';
import { benchAcknowledgement, benchThroughput } from './pipeline/throughput.ts';
import { benchBytes, benchRejudge, benchShiftTrace, benchTrace } from './record.ts';

/** Runs every benchmark, or those whose name holds the word given, prints a table and writes `bench/results.json`. */
const BENCHES: readonly (() => Promise<Result | readonly Result[]>)[] = [benchGraph, benchFold, benchSimulation, benchLatency, benchThroughput, benchAcknowledgement, benchBytes, benchTrace, benchShiftTrace, benchRejudge];
const word = (process.argv[2] ?? '').toLowerCase();

const figure = (value: number): string => value.toLocaleString('en', { maximumSignificantDigits: 4 });

const results: Result[] = [];
for (const bench of BENCHES) {
  if (!bench.name.toLowerCase().includes(word)) continue;
  // One that can't be measured is named, and costs only itself.
  const measured = await Promise.resolve(bench()).catch((error: unknown) => {
    console.error(`${bench.name} could not be measured:`, error);
    process.exitCode = 1;
    return [];
  });
  for (const result of [measured].flat()) {
    results.push(result);
    console.log(`${result.name.padEnd(48)} ${figure(result.value)} ${result.unit}, floor ${figure(result.floor)}, ratio ${result.ratio.toFixed(3)} (${result.spread.map((ratio) => ratio.toFixed(3)).join(' to ')})`);
  }
}
writeFileSync('bench/results.json', `${JSON.stringify(results, null, 2)}\n`);
console.log(`Written to bench/results.json. ${cpus().length} cores, Node ${process.version}. Quote the ratios, not the numbers.`);

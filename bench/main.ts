import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { cpus, loadavg } from 'node:os';
import { benchFold } from './fold.ts';
import { benchGraph } from './graph.ts';
import { benchGrowth, benchShifts } from './growth.ts';
import type { Result } from './measure.ts';
import { benchSimulation } from './simulation.ts';
import { benchHighestRate, benchLatency } from './pipeline/latency.ts';
import { benchAcknowledgement, benchThroughput } from './pipeline/throughput.ts';
import { drawGrowth } from './plot.ts';
import { benchBytes, benchRejudge, benchShiftTrace, benchTrace } from './record.ts';
import { benchBrowsers } from './steady/browsers-bench.ts';
import { benchMemory } from './steady/memory-bench.ts';
import { benchStart } from './steady/start-bench.ts';

/**
 * Runs every benchmark, or those whose name holds the word given, prints a table and writes `bench/results.json`; what was not run keeps its
 * line there, with the day of its own. (a) reading to page, (b) computing, (c) re-judging, (d) record and traces, (e) many browsers,
 * (f) memory, (g) start, (n) cost against numbers, (q) taking in, (s) the simulator.
 */
const BENCHES: readonly (readonly [id: string, run: () => Promise<Result | readonly Result[]>])[] = [
  ['b', benchGraph], ['b', benchFold], ['s', benchSimulation], ['a', benchLatency], ['a', benchHighestRate], ['q', benchThroughput], ['q', benchAcknowledgement],
  ['d', benchBytes], ['d', benchTrace], ['d', benchShiftTrace], ['c', benchRejudge], ['e', benchBrowsers], ['f', benchMemory], ['g', benchStart], ['n', benchGrowth], ['n', benchShifts],
];
const FILE = 'bench/results.json';
const PLOT = 'docs/pictures/growth.svg';

interface Line extends Result {
  readonly id: string;
  readonly at: string;
  /** Of the machine just before, programs that want to run: above 0.5 the numbers are not of a quiet one. */
  readonly load: number;
}

const word = (process.argv[2] ?? '').toLowerCase();
const figure = (value: number): string => value.toLocaleString('en', { maximumSignificantDigits: 4 });

const lines: Line[] = [];
for (const [id, bench] of BENCHES) {
  if (!bench.name.toLowerCase().includes(word)) continue;
  const [load, at] = [Math.round((loadavg()[0] ?? 0) * 10) / 10, new Date().toISOString()];
  // One that can't be measured is named, and costs only itself.
  const measured = await Promise.resolve(bench()).catch((error: unknown) => {
    console.error(`${bench.name} could not be measured:`, error);
    process.exitCode = 1;
    return [];
  });
  for (const result of [measured].flat()) {
    lines.push({ id, ...result, at, load });
    console.log(`${id}  ${result.name.padEnd(48)} ${figure(result.value)} ${result.unit}, floor ${figure(result.floor)}, ratio ${result.ratio.toFixed(3)} (${result.spread.map((ratio) => ratio.toFixed(3)).join(' to ')})`);
    if (result.series) console.log(`   ${result.series.map(([number, cost]) => `${number}: ${figure(cost)} ms`).join(', ')}`);
  }
}
const all = [...keptOf(FILE).filter(({ name }) => !lines.some((line) => line.name === name)), ...lines].toSorted((a, b) => a.id.localeCompare(b.id));
writeFileSync(FILE, `${JSON.stringify(all, null, 2)}\n`);
if (lines.some(({ series }) => series)) writeFileSync(PLOT, drawGrowth(all));
console.log(`Written to ${FILE}. ${cpus().length} cores, Node ${process.version}. Quote the ratios, not the numbers.`);

/** Lines of earlier runs, where only some are measured now. */
function keptOf(file: string): Line[] {
  if (word === '' || !existsSync(file)) return [];
  return (JSON.parse(readFileSync(file, 'utf8')) as Line[]).filter(({ id }) => typeof id === 'string');
}

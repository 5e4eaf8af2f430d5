import { ABRASIVE, AIR_MISSES, BLAST_HOSE, BORES, HOSE, MOISTURE, NOZZLE_CHARTS, NOZZLE_THEORY, RULES } from './air.ts';
import { CLIMATE_MISSES, HUMID_AIR, LINE_MOISTURE, SATURATION, SURFACE, SURFACE_BANDS } from './climate.ts';
import { COHB, COHB_BANDS, CO_AVERAGES, EXPOSURE_MISSES } from './exposure.ts';
import { type Band, type Miss, type Row, difference } from './row.ts';

/** A number with the digits that say something beside the published one. */
function digits(value: number, like: number): string {
  const written = String(like);
  const decimals = Math.min(10, Math.max(1, (written.split('.')[1] ?? '').length + 1));
  return value.toFixed(Math.abs(value) >= 1000 ? Math.min(decimals, 2) : decimals);
}

function percent(relative: number): string {
  return `${relative > 0 ? '+' : ''}${(relative * 100).toFixed(Math.abs(relative) < 0.001 ? 3 : 1)} %`;
}

function line(row: Row): string {
  const { ours, relative, absolute } = difference(row);
  // Degrees have no zero worth a ratio.
  const shown = row.unit === '°C' || row.published === 0 ? `${absolute > 0 ? '+' : ''}${absolute.toFixed(3)} ${row.unit}` : percent(relative);
  return `| ${row.quantity} | ${digits(ours, row.published)} | ${row.published} | ${row.unit} | ${shown} | ${row.source} |`;
}

const HEAD = '| quantity | ours | published | unit | difference | source |\n|---|---:|---:|---|---:|---|';

function table(rows: readonly Row[]): string {
  return [HEAD, ...rows.map(line)].join('\n');
}

function bands(rows: readonly Band[]): string {
  return ['| quantity | ours | published | unit | source |\n|---|---:|---:|---|---|', ...rows.map((row) => `| ${row.quantity} | ${row.ours().toFixed(2)} | ${row.low} to ${row.high} | ${row.unit} | ${row.source} |`)].join('\n');
}

function misses(rows: readonly Miss[]): string {
  return ['| quantity | ours | published | unit | source | why |\n|---|---:|---:|---|---|---|', ...rows.map((row) => `| ${row.quantity} | ${digits(row.ours(), row.published)} | ${row.published} | ${row.unit} | ${row.source} | ${row.why} |`)].join('\n');
}

/** The nozzle charts as a grid of differences: 90 cells are more easily seen than read. */
function grid(): string {
  const names = BORES.slice(0, 7).map(([name]) => name);
  const lines: string[] = [];
  for (const source of [...new Set(NOZZLE_CHARTS.map((row) => row.source))]) {
    lines.push(`Ours over published less one, ${source}:`, '', `| psi | ${names.map((name) => `${name} in`).join(' | ')} |`, `|---:|${names.map(() => '---:|').join('')}`);
    const rows = NOZZLE_CHARTS.filter((row) => row.source === source);
    for (const psi of [...new Set(rows.map((row) => row.quantity.split(', ')[1] ?? ''))]) {
      const cell = (name: string): string => {
        const row = rows.find((one) => one.quantity === `nozzle ${name} in, ${psi}`);
        return row ? `${difference(row).ours.toFixed(0)} / ${row.published} (${percent(difference(row).relative)})` : '';
      };
      lines.push(`| ${psi.replace(' psi', '')} | ${names.map(cell).join(' | ')} |`);
    }
    lines.push('');
  }
  const all = NOZZLE_CHARTS.map((row) => difference(row).relative);
  lines.push(`${all.length} cells, from ${percent(Math.min(...all))} to ${percent(Math.max(...all))}. The first number is ours, in cfm.`);
  return lines.join('\n');
}

/** What stands between the markers of the same name in docs/computations.md. */
export const COMPUTATION_TABLES: Readonly<Record<string, () => string>> = {
  saturation: () => table(SATURATION),
  'humid-air': () => table(HUMID_AIR),
  'line-moisture': () => table(LINE_MOISTURE),
  surface: () => `${bands(SURFACE_BANDS)}\n\n${table(SURFACE)}`,
  'nozzle-charts': grid,
  'nozzle-theory': () => table(NOZZLE_THEORY),
  abrasive: () => table(ABRASIVE),
  hose: () => `${table(HOSE)}\n\n${table(BLAST_HOSE)}`,
  moisture: () => table(MOISTURE),
  rules: () => table(RULES),
  co: () => table(CO_AVERAGES),
  cohb: () => `${table(COHB)}\n\n${bands(COHB_BANDS)}`,
  misses: () => misses([...CLIMATE_MISSES, ...AIR_MISSES, ...EXPOSURE_MISSES]),
};

/** Puts every table between its markers. @throws Error for a marker without a table, or a table without its marker. */
export function withTables(document: string): string {
  const placed = new Set<string>();
  const filled = document.replace(/<!-- table: ([a-z-]+) -->\n[\s\S]*?<!-- end -->/g, (_all, name: string) => {
    const render = COMPUTATION_TABLES[name];
    if (!render) throw new Error(`no table is called ${name}`);
    placed.add(name);
    return `<!-- table: ${name} -->\n${render()}\n<!-- end -->`;
  });
  const lost = Object.keys(COMPUTATION_TABLES).filter((name) => !placed.has(name));
  if (lost.length > 0) throw new Error(`tables without a place in the document: ${lost.join(', ')}`);
  return filled;
}

import type { Result } from './measure.ts';

const [WIDTH, HEIGHT, LEFT, TOP, GAP] = [360, 190, 46, 34, 40];

/** Costs against numbers as an SVG: both axes logarithmic, so that a line that rises no steeper than the dashed one is linear or better. */
export function drawGrowth(results: readonly Result[]): string {
  const drawn = results.flatMap(({ name, series, value }) => (series ? [{ name, series, value }] : []));
  const panels = drawn.map((one, index) => `<g transform="translate(${(index % 2) * (WIDTH + GAP + LEFT) + LEFT} ${Math.floor(index / 2) * (HEIGHT + TOP + GAP) + TOP})">${panel(one)}</g>`);
  const [width, height] = [2 * (WIDTH + GAP + LEFT), Math.ceil(drawn.length / 2) * (HEIGHT + TOP + GAP)];
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" font-family="sans-serif" font-size="11">\n<rect width="100%" height="100%" fill="#fff"/>\n${panels.join('\n')}\n</svg>\n`;
}

function panel({ name, series, value }: { readonly name: string; readonly series: NonNullable<Result['series']>; readonly value: number }): string {
  const numbers = series.map(([number]) => number);
  const [first, last] = [numbers[0] ?? 1, numbers.at(-1) ?? 1];
  const start = series[0]?.[1] ?? 1;
  const linear = start * (last / first);
  const costs = [...series.map(([, cost]) => cost), linear];
  const x = (number: number): number => round((WIDTH * Math.log(number / first)) / Math.log(last / first));
  const [low, high] = [Math.min(...costs) / 1.5, Math.max(...costs) * 1.5];
  const y = (cost: number): number => round(HEIGHT - (HEIGHT * Math.log(cost / low)) / Math.log(high / low));
  const points = series.map(([number, cost]) => `${x(number)},${y(cost)}`);
  return [
    `<text x="${-LEFT + 4}" y="-16" font-weight="bold">${title(name)}</text><text x="8" y="8" fill="#124a7c">exponent ${value.toFixed(2)}</text>`,
    `<path d="M0 0V${HEIGHT}H${WIDTH}" fill="none" stroke="#555"/>`,
    `<path d="M0 ${y(start)}L${WIDTH} ${y(linear)}" stroke="#888" stroke-dasharray="4 4"/><text x="${WIDTH}" y="${y(linear) - 5}" text-anchor="end" fill="#666">linear</text>`,
    `<polyline points="${points.join(' ')}" fill="none" stroke="#124a7c" stroke-width="2"/>`,
    ...series.map(([number, cost]) => `<circle cx="${x(number)}" cy="${y(cost)}" r="3" fill="#124a7c"/><text x="${x(number)}" y="${y(cost) + 16}" text-anchor="${number === last ? 'end' : 'start'}">${cost.toLocaleString('en', { maximumSignificantDigits: 2 })} ms</text><text x="${x(number)}" y="${HEIGHT + 15}" text-anchor="middle">${number}</text>`),
  ].join('\n');
}

/** What is plotted, without what all of them are. */
function title(name: string): string {
  return name.replace(/^processor time of /, '').replace(/, \d+ of it,/, '').replace(/: exponent$/, '');
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}

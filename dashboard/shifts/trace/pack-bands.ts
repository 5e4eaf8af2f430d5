/** Something that lasts, to be put into rows without covering another. */
export interface Band {
  readonly fromMs: number;
  readonly toMs: number;
}

/** The row of each, from 0: the first that is free, in order of beginning. `roomMs`: what its name takes beside it. */
export function packBands(bands: readonly Band[], roomMs: number): readonly number[] {
  const freeFrom: number[] = [];
  const order = bands.map((band, index) => ({ band, index })).sort((a, b) => a.band.fromMs - b.band.fromMs || a.index - b.index);
  const rows = new Array<number>(bands.length).fill(0);
  for (const { band, index } of order) {
    const found = freeFrom.findIndex((ms) => ms <= band.fromMs);
    const row = found === -1 ? freeFrom.length : found;
    freeFrom[row] = Math.max(band.toMs, band.fromMs + roomMs);
    rows[index] = row;
  }
  return rows;
}

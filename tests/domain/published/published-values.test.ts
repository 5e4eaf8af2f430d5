import { describe, expect, test } from 'vitest';
import { ABRASIVE, AIR_MISSES, BLAST_HOSE, HOSE, MOISTURE, NOZZLE_CHARTS, NOZZLE_THEORY, RULES } from './air.ts';
import { CLIMATE_MISSES, HUMID_AIR, LINE_MOISTURE, SATURATION, SURFACE, SURFACE_BANDS } from './climate.ts';
import { COHB, COHB_BANDS, CO_AVERAGES, EXPOSURE_MISSES } from './exposure.ts';
import { type Row, difference, passes } from './row.ts';

const TABLES: Readonly<Record<string, readonly Row[]>> = {
  SATURATION, HUMID_AIR, LINE_MOISTURE, SURFACE, NOZZLE_CHARTS, NOZZLE_THEORY, ABRASIVE, HOSE, BLAST_HOSE, MOISTURE, RULES, CO_AVERAGES, COHB,
};

describe.each(Object.entries(TABLES))('published values: %s', (_name, rows) => {
  test.each(rows.map((row) => [row.quantity, row.source, row] as const))('%s (%s)', (_quantity, _source, row) => {
    expect(passes(row), `ours ${difference(row).ours}, published ${row.published}, within ${JSON.stringify(row.within)}`).toBe(true);
  });
});

describe('published bands', () => {
  test.each([...SURFACE_BANDS, ...COHB_BANDS].map((band) => [band.quantity, band] as const))('%s', (_quantity, band) => {
    expect(band.ours()).toBeGreaterThanOrEqual(band.low);
    expect(band.ours()).toBeLessThanOrEqual(band.high);
  });
});

describe('published values that ours do not meet stay as far off as said', () => {
  test.each([...CLIMATE_MISSES, ...AIR_MISSES, ...EXPOSURE_MISSES].map((row) => [row.quantity, row] as const))('%s', (_quantity, row) => {
    expect(passes(row), `ours ${difference(row).ours}, published ${row.published}`).toBe(true);
  });
});

test('one nozzle coefficient holds for every chart cell within 10 % either way', () => {
  for (const row of NOZZLE_CHARTS) {
    const { ours } = difference(row);
    expect(Math.abs(ours / row.published - 1), row.quantity).toBeLessThanOrEqual(0.1);
    expect(Math.abs(row.published / ours - 1), row.quantity).toBeLessThanOrEqual(0.1);
  }
});

import { describe, expect, it } from 'vitest';
import { type Seen, between, mean, watch } from './watched.ts';

/** First second at which a point reached a value. */
function firstAt(seen: readonly Seen[] | undefined, reaches: number, from: number): number | undefined {
  return seen?.find(({ s, value }) => s >= from && value >= reaches)?.s;
}

describe('the demo', () => {
  for (const seed of [1, 2, 3, 4, 5, 6, 7, 8]) {
    const seen = watch({ scenario: 'demo', seed, beforeS: 7200, afterS: 400 });

    it(`seed ${seed}: rig A's nozzle sags with the kink while nothing upstream is lost`, () => {
      const nozzle = seen.get('rig-a/nozzle-pressure');
      const healthy = mean(between(nozzle, 20, 40));
      const kinked = mean(between(nozzle, 60, 130));
      expect(healthy).toBeGreaterThan(95);
      expect(healthy).toBeLessThan(105);
      expect(kinked).toBeGreaterThan(72);
      expect(kinked).toBeLessThan(84.5);
      expect(mean(between(nozzle, 200, 212))).toBeGreaterThan(95);
      const upstream = (from: number, to: number): number => mean(between(seen.get('comp-1/compressor-pressure'), from, to)) - mean(between(seen.get('rig-a/pot-pressure'), from, to));
      expect(upstream(60, 130)).toBeLessThan(upstream(20, 40));
    });

    it(`seed ${seed}: rig B's carbon monoxide passes 10 ppm about 105 s in, peaks about 16 and clears`, () => {
      const co = seen.get('rig-b/breathing-air-co');
      const passed = firstAt(co, 10, 0) ?? Infinity;
      expect(passed).toBeGreaterThan(97);
      expect(passed).toBeLessThan(113);
      expect(Math.max(...between(co, 0, 400))).toBeGreaterThan(13.5);
      expect(Math.max(...between(co, 0, 400))).toBeLessThan(20);
      expect(Math.max(...between(co, 300, 400))).toBeLessThan(4.5);
      expect(Math.max(...between(seen.get('rig-a/breathing-air-co'), 0, 400))).toBeLessThan(5);
    });

    it(`seed ${seed}: the morning before was an ordinary one`, () => {
      for (const rig of ['rig-a', 'rig-b']) {
        expect(Math.max(...between(seen.get(`${rig}/breathing-air-co`), -7200, 0))).toBeLessThan(4);
        expect(Math.min(...between(seen.get(`${rig}/supply-pressure`), -7200, 0))).toBeGreaterThan(82);
        expect(Math.max(...between(seen.get(`${rig}/supply-pressure`), -7200, 0))).toBeLessThan(115);
        expect(Math.min(...between(seen.get(`${rig}/breathing-air-pressure`), -7200, 0))).toBeGreaterThan(58);
        const blasting = settled(seen.get(`${rig}/nozzle-pressure`), seen.get(`${rig}/remote-control`));
        expect(blasting.length).toBeGreaterThan(2400);
        expect(Math.min(...blasting)).toBeGreaterThan(88);
        expect(Math.max(...blasting)).toBeLessThan(107);
      }
    });
  }
});

/** Nozzle pressures after the handle has been held for 15 s, before going live. */
function settled(nozzle: readonly Seen[] | undefined, handle: readonly Seen[] | undefined): number[] {
  let heldFor = 0;
  return (nozzle ?? []).flatMap(({ s, value }, i) => {
    heldFor = handle?.[i]?.value === 1 ? heldFor + 1 : 0;
    return s < 0 && heldFor > 15 ? [value] : [];
  });
}

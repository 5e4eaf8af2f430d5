import { expect } from 'vitest';
import { leak } from '../../../domain/air/leak.ts';
import { gauge } from '../../../domain/quantity/pressure.ts';
import { LINE } from './expectations.ts';
import { expectPaths } from './expect-path.ts';
import { valuesOf } from './walk-path.ts';

const PSI = 6894.757;
/** 50 ft of 2 in hose; of the pipework nobody knows more than that there is about as much again. */
const SHUT_IN_M3 = 0.031 + 0.03;

expectPaths(LINE, {
  'leaking-supply': async (walked) => {
    const held = await valuesOf(walked, 'rig-a', 'supply-pressure', 5, 55);
    const { low, high, value } = leak({ volume: SHUT_IN_M3, from: gauge((held[0] ?? 0) * PSI), to: gauge((held.at(-1) ?? 0) * PSI), time: 50, gaugeStandardError: 0.1 * PSI, volumeStandardError: 0.15, temperatureChangeStandardError: 0.5 });
    // What a 1.5 mm hole lets out at the mean of the held pressure, choked: 0.65 · A · p · 0.0404 / √T.
    const mean = ((held[0] ?? 0) + (held.at(-1) ?? 0)) / 2;
    const truth = (0.65 * (Math.PI / 4) * 0.0015 ** 2 * (mean * PSI + 101_325) * 0.0404) / Math.sqrt(291);
    expect(value).toBeGreaterThan(0);
    expect(truth).toBeGreaterThan(low);
    expect(truth).toBeLessThan(high);
  },
});

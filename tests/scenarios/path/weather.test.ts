import { expect } from 'vitest';
import { WEATHER } from './expectations.ts';
import { expectPaths } from './expect-path.ts';
import { recordOf } from './walk-path.ts';

expectPaths(WEATHER, {
  // The hour from one to two comes twice at this site: each of its seconds is in the record once.
  'daylight-saving-night': async (walked) => {
    const atMs = await recordOf(walked, 'rig-a', 'supply-pressure', 13_860, 14_940);
    expect(new Date(walked.liveFromMs + 14_400_000).toLocaleTimeString('en-US', { timeZone: 'America/Chicago', timeStyle: 'short' })).toMatch(/^1:/);
    expect(new Set(atMs.map((ms) => Math.floor(ms / 1000))).size).toBeGreaterThan(1070);
    expect(new Set(atMs).size).toBe(atMs.length);
  },
});

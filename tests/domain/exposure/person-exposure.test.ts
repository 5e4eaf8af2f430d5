import { describe, expect, it } from 'vitest';
import { carboxyhaemoglobin } from '../../../domain/exposure/carboxyhaemoglobin.ts';
import { hoodOff, hoodOn, newPerson, nextExposure, type PersonExposure, readExposure } from '../../../domain/exposure/person-exposure.ts';
import { STANDARD_ATMOSPHERE } from '../../../domain/quantity/pressure.ts';

const PPM = 1e-6;
const HOUR = 3_600_000;
const START = Date.UTC(2026, 5, 1, 12);

/** Breathes so much, a reading every five seconds. */
function breathe(exposure: PersonExposure, ppm: number | null, hours: number): PersonExposure {
  let now = exposure;
  const until = exposure.atMs + hours * HOUR;
  for (let atMs = exposure.atMs; atMs <= until; atMs += 5_000) now = nextExposure(now, atMs, ppm === null ? null : ppm * PPM, STANDARD_ATMOSPHERE);
  return now;
}

describe('a person under a hood', () => {
  // 29 CFR 1910.1000(d)(1)(i), worked example: 2 h at 150, 2 h at 75, 4 h at 50 give 81.25 ppm.
  it('has the eight-hour average of the regulation’s worked example, over two rigs', () => {
    let dana = hoodOn(newPerson('dana', START), 'rig-a', START, STANDARD_ATMOSPHERE);
    dana = breathe(dana, 150, 2);
    dana = hoodOn(hoodOff(dana, dana.atMs, STANDARD_ATMOSPHERE), 'rig-b', dana.atMs, STANDARD_ATMOSPHERE);
    dana = breathe(breathe(dana, 75, 2), 50, 4);
    const average = readExposure(dana).eightHours;
    // The window is kept in buckets of five minutes: it looks back up to one bucket more.
    expect((average?.average ?? 0) / PPM).toBeCloseTo(81.25, 0);
  });

  it('has the blood of the same air at once or in steps', () => {
    const dana = breathe(hoodOn(newPerson('dana', START), 'rig-a', START, STANDARD_ATMOSPHERE), 35, 1);
    expect(dana.cohb).toBeCloseTo(carboxyhaemoglobin({ concentration: 35 * PPM, time: 3600, activity: 'heavy' }), 3);
  });

  it('keeps a gap as what it is: at least nothing, at most the highest seen', () => {
    const dana = breathe(breathe(hoodOn(newPerson('dana', START), 'rig-a', START, STANDARD_ATMOSPHERE), 20, 1), null, 1);
    const average = readExposure(dana).eightHours;
    expect((average?.atLeast ?? 0) / PPM).toBeCloseTo(20 / 8, 1);
    expect((average?.atMost ?? 0) / PPM).toBeCloseTo(40 / 8, 1);
    expect((average?.gap ?? 0) / 3600).toBeCloseTo(1, 1);
  });

  it('adds nothing between hoods, and clears', () => {
    const worked = breathe(hoodOn(newPerson('dana', START), 'rig-a', START, STANDARD_ATMOSPHERE), 100, 1);
    const rested = breathe(hoodOff(worked, worked.atMs, STANDARD_ATMOSPHERE), 400, 2);
    expect(rested.cohb).toBeLessThan(worked.cohb);
    expect(rested.highest).toBe(100 * PPM);
    expect((readExposure(rested).eightHours?.average ?? 0) / PPM).toBeCloseTo(100 / 8, 0);
    expect(readExposure(rested).eightHours?.gap).toBeLessThan(60);
  });
});

import { type ExposureFigures, hoodOff, hoodOn, newPerson, nextExposure, type PersonExposure, readExposure } from '../exposure/person-exposure.ts';
import type { AbsolutePressure } from '../quantity/pressure.ts';

/** Kept this long after the last hood, ms: a working day's average looks back eight hours, and a night is between two of them. */
const FORGET_MS = 24 * 3_600_000;
const PPM = 1e-6;

/** What each named person breathed. It goes with the person, over all rigs of the site. */
export class SitePeople {
  readonly #people: Map<string, PersonExposure>;

  constructor(saved: readonly PersonExposure[] = []) {
    this.#people = new Map(saved.map((one) => [one.person, one]));
  }

  hoodOn(person: string, rig: string, atMs: number, atmosphere: AbsolutePressure): void {
    for (const [name, { underHood, atMs: lastMs }] of this.#people) if (!underHood && lastMs < atMs - FORGET_MS) this.#people.delete(name);
    this.#people.set(person, hoodOn(this.#people.get(person) ?? newPerson(person, atMs), rig, atMs, atmosphere));
  }

  hoodOff(person: string, atMs: number, atmosphere: AbsolutePressure): void {
    const exposure = this.#people.get(person);
    if (exposure) this.#people.set(person, hoodOff(exposure, atMs, atmosphere));
  }

  /** Another second under these hoods, with what the panel shows in ppm, or null where it shows nothing to rely on. */
  breathe(people: readonly { readonly name: string }[], atMs: number, ppm: number | null, atmosphere: AbsolutePressure): void {
    for (const { name } of people) {
      const exposure = this.#people.get(name);
      if (exposure) this.#people.set(name, nextExposure(exposure, atMs, ppm === null ? null : ppm * PPM, atmosphere));
    }
  }

  figures(person: string): ExposureFigures | undefined {
    const exposure = this.#people.get(person);
    return exposure && readExposure(exposure);
  }

  save(): PersonExposure[] {
    return [...this.#people.values()];
  }
}

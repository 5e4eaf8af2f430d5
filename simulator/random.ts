/** A stream of pseudo-random numbers; the same seed gives the same stream on every machine. */
export interface Random {
  /** Uniform in [0, 1). */
  next(): number;
  /** Uniform in [low, high). */
  between(low: number, high: number): number;
  /** About normal with mean 0 and standard deviation 1, and never beyond ±3.5: a healthy sensor has no wild tail. */
  normal(): number;
}

/** Hashes a name into 32 bits (FNV-1a), so that each part draws from a stream of its own. */
function hash(text: string): number {
  let h = 0x811c9dc5;
  for (let i = 0; i < text.length; i += 1) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193);
  return h >>> 0;
}

/**
 * The stream of one part of the site. Streams are told apart by name, so that adding a sensor leaves every other number
 * as it was. Generator: sfc32 (Chris Doty-Humphrey, PractRand), 128 bits of state, warmed up as its author advises.
 */
export function createRandom(seed: number, name: string): Random {
  let a = seed >>> 0;
  let b = hash(name);
  let c = Math.floor(seed / 2 ** 32) >>> 0;
  let counter = 1;
  function next32(): number {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + sum;
    c |= 0;
    return sum >>> 0;
  }
  for (let i = 0; i < 15; i += 1) next32();
  const next = (): number => next32() / 2 ** 32;
  return {
    next,
    between: (low, high) => low + (high - low) * next(),
    // The sum of four uniforms has variance 1/3: cheaper than a logarithm, and bounded.
    normal: () => (next() + next() + next() + next() - 2) * Math.sqrt(3),
  };
}

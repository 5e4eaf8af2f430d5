/**
 * Where a continuous function crosses zero between `low` and `high`, by false position with the Illinois correction and
 * a bisection whenever that stalls: it can't leave the bracket and needs no derivative.
 * @throws RangeError when the ends have the same sign: there is no crossing to find.
 */
export function findRoot(f: (x: number) => number, low: number, high: number, tolerance: number): number {
  let [a, b] = [low, high];
  let [fa, fb] = [f(a), f(b)];
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (Number.isNaN(fa) || Number.isNaN(fb) || fa > 0 === fb > 0) throw new RangeError(`no solution between ${low} and ${high}`);
  // The sign beyond the root is kept by itself: a halved value may vanish.
  const rises = fb > 0;
  let kept = 0;
  for (let step = 0; step < 200 && Math.abs(b - a) > tolerance; step++) {
    const straight = Number.isFinite(fa) && Number.isFinite(fb) && step % 4 !== 3 ? (a * fb - b * fa) / (fb - fa) : (a + b) / 2;
    const x = straight > Math.min(a, b) && straight < Math.max(a, b) ? straight : (a + b) / 2;
    const fx = f(x);
    if (fx === 0) return x;
    if (fx > 0 === rises) {
      [b, fb] = [x, fx];
      if (kept === -1) fa /= 2;
      kept = -1;
    } else {
      [a, fa] = [x, fx];
      if (kept === 1) fb /= 2;
      kept = 1;
    }
  }
  return Math.abs(fa) < Math.abs(fb) ? a : b;
}

/** Slope of a straight line through points, by least squares. */
export function slopeOf(points: readonly (readonly [x: number, y: number])[]): number {
  const mean = (of: (point: readonly [number, number]) => number): number => points.reduce((sum, point) => sum + of(point), 0) / points.length;
  const [meanX, meanY] = [mean(([x]) => x), mean(([, y]) => y)];
  return mean(([x, y]) => (x - meanX) * (y - meanY)) / mean(([x]) => (x - meanX) ** 2);
}

/** The power with which a cost grows with a number: 1 is linear, less is better. Slope of the logarithms. */
export function exponentOf(series: readonly (readonly [number: number, cost: number])[]): number {
  return slopeOf(series.map(([number, cost]) => [Math.log(number), Math.log(cost)]));
}

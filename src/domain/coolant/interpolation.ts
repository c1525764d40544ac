/**
 * Straight-line reading of a table between its two neighbouring points; null beyond either end,
 * where nothing is extrapolated.
 *
 * @param points [x, y], x strictly rising or strictly falling
 * @example interpolate([[0, 0], [10, 5]], 4) // 2
 */
export function interpolate(points: readonly (readonly [number, number])[], x: number): number | null {
  for (let i = 1; i < points.length; i++) {
    const [x0, y0] = points[i - 1]!;
    const [x1, y1] = points[i]!;
    if (x >= Math.min(x0, x1) && x <= Math.max(x0, x1)) return y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
  }
  return null;
}

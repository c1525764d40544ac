import { ImpossibleValue } from '../impossible-value.js';

export interface LeastSquares {
  intercept: number;
  /** Units of y per unit of x. */
  slope: number;
  /** Share of the variance of y that the line explains; 1 where y does not vary. */
  rSquared: number;
}

/**
 * Straight line by ordinary least squares, computed about the means so that large offsets cost no digits.
 *
 * Source: the textbook normal equations; checked against NIST StRD data set Norris.
 *
 * @throws ImpossibleValue when fewer than two different x are given.
 * @example leastSquares([{ x: 0, y: 1 }, { x: 1, y: 3 }]) // { intercept: 1, slope: 2, rSquared: 1 }
 */
export function leastSquares(points: readonly { x: number; y: number }[]): LeastSquares {
  const n = points.length;
  const meanX = points.reduce((sum, point) => sum + point.x, 0) / n;
  const meanY = points.reduce((sum, point) => sum + point.y, 0) / n;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (const { x, y } of points) {
    xx += (x - meanX) ** 2;
    xy += (x - meanX) * (y - meanY);
    yy += (y - meanY) ** 2;
  }
  if (!(xx > 0)) {
    const detail = 'a line needs points at two different places at least';
    throw new ImpossibleValue({ field: 'points', value: n, limit: { min: 2 }, detail });
  }
  const slope = xy / xx;
  return { intercept: meanY - slope * meanX, slope, rSquared: yy === 0 ? 1 : (xy * xy) / (xx * yy) };
}

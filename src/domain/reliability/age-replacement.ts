/** What a planned replacement costs, and what a failure does, in any one currency. */
export interface ReplacementCosts {
  planned: number;
  failure: number;
}

/**
 * Beyond this cumulated hazard next to nothing survives (e⁻⁶⁰; more where lives scatter widely),
 * and the mean life is reached.
 */
const allFailed = (shape: number): number => 60 + 10 / shape;
/** ln of the greatest cumulated hazard looked at. */
const GREATEST_LOG = 690;

/**
 * Mean use of a part that is replaced at its failure or at an age, whichever comes first: ∫
 * exp(−x^shape) dx from 0 to that age, in units of the scale; the age is given by its cumulated
 * hazard H = (age/scale)^shape.
 *
 * Source: DLMF 8.7.1, the series of the incomplete gamma function with positive terms only, so that
 * nothing cancels.
 *
 * @example meanUse(Math.LN2, 1) // 0.5
 */
export function meanUse(hazard: number, shape: number): number {
  const x = Math.min(hazard, allFailed(shape));
  const a = 1 / shape;
  let term = 1;
  let sum = 1;
  for (let n = 1; term > 1e-17 * sum; n++) {
    term *= x / (a + n);
    sum += term;
  }
  return Math.exp(Math.log(x) * a - x) * sum;
}

/**
 * Cost for each unit of use when parts are replaced at an age or at their failure, whichever comes
 * first: (planned·S + failure·(1 − S))/∫S (Barlow & Proschan, Mathematical Theory of Reliability,
 * 1965, section 4.2; Barlow & Hunter 1960).
 *
 * @param age in the unit of the scale; Infinity: only failed parts are replaced.
 * @example costRate(493.046958, { shape: 2.5, scale: 1000 }, { planned: 1, failure: 5 }) // 0.00346204
 */
export function costRate(
  age: number,
  law: { shape: number; scale: number },
  costs: ReplacementCosts,
): number {
  const hazard = (age / law.scale) ** law.shape;
  const survival = Math.exp(-hazard);
  return (
    (costs.planned * survival - costs.failure * Math.expm1(-hazard)) /
    (law.scale * meanUse(hazard, law.shape))
  );
}

/**
 * The age at which replacing costs least for each unit of use, as ln(age/scale): where h(T)·∫S − (1
 * − S) = planned/(failure − planned). The left side rises with the age where parts wear out, so
 * there is one such age.
 *
 * @returns Infinity where there is none: parts that do not wear out (shape ≤ 1), or a failure that
 * costs no more than a planned replacement.
 * @example Math.exp(logOptimum(3, { planned: 1, failure: 5 })) // 0.502609582
 */
export function logOptimum(shape: number, { planned, failure }: ReplacementCosts): number {
  if (!(shape > 1) || !(failure > planned)) return Infinity;
  const wanted = planned / (failure - planned);
  const excess = (logHazard: number): number => {
    const hazard = Math.exp(logHazard);
    const reached =
      shape * Math.exp(logHazard * (1 - 1 / shape)) * meanUse(hazard, shape) + Math.expm1(-hazard);
    return reached - wanted;
  };
  let [low, high] = [-GREATEST_LOG, GREATEST_LOG];
  if (excess(high) < 0) return Infinity;
  for (let step = 0; step < 70; step++) {
    const middle = (low + high) / 2;
    if (excess(middle) < 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2 / shape;
}

/** Values of the characters of a vehicle identification number; I, O and Q do not occur. Source: 49 CFR 565.15(c), Table III. */
const VALUES: Record<string, number> = Object.fromEntries([
  ...'0123456789'.split('').map((digit) => [digit, Number(digit)] as const),
  ...Object.entries({
    A: 1,
    B: 2,
    C: 3,
    D: 4,
    E: 5,
    F: 6,
    G: 7,
    H: 8,
    J: 1,
    K: 2,
    L: 3,
    M: 4,
    N: 5,
    P: 7,
    R: 9,
    S: 2,
    T: 3,
    U: 4,
    V: 5,
    W: 6,
    X: 7,
    Y: 8,
    Z: 9,
  }),
]);

/** Weights of the 17 positions; the check digit itself, at position 9, weighs nothing. Source: 49 CFR 565.15(c), Table IV. */
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/**
 * Why a text is not a vehicle identification number with a right check digit; null when it is one.
 *
 * The check digit is the weighted sum modulo 11, with 10 written as X (49 CFR 565.15(c), Table V).
 *
 * @param vin 17 characters, capital letters and digits
 * @example vinFault('11111111111111111') // null
 */
export function vinFault(vin: string): string | null {
  if (vin.length !== WEIGHTS.length) return `has ${vin.length} characters; a VIN has 17`;
  let sum = 0;
  for (const [index, weight] of WEIGHTS.entries()) {
    const character = vin.charAt(index);
    const value = VALUES[character];
    if (value === undefined)
      return `has "${character}" at position ${index + 1}; a VIN is written in digits and capital letters without I, O and Q`;
    sum += value * weight;
  }
  const expected = sum % 11 === 10 ? 'X' : String(sum % 11);
  const given = vin.charAt(8);
  return given === expected
    ? null
    : `has the check digit ${given} at position 9 where the others ask for ${expected}; one character is probably mistyped`;
}

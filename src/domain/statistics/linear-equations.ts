/**
 * Solves a small set of linear equations A·x = b by Gauss's elimination, without exchanging rows: A
 * must be symmetric and positive definite, as a matrix of second derivatives at an optimum is. No
 * check is made of that; a singular one gives values that are not finite.
 *
 * @param matrix A, row by row. @param right b.
 * @example solveLinear([[2, 1], [1, 3]], [3, 5]) // [0.8, 1.4]
 */
export function solveLinear(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const rows = matrix.map((row, i) => [...row, right[i]!]);
  const n = right.length;
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const factor = rows[j]![i]! / rows[i]![i]!;
      for (let k = i; k <= n; k++) rows[j]![k]! -= factor * rows[i]![k]!;
    }
  }
  const solution = Array.from({ length: n }, () => 0);
  for (let i = n - 1; i >= 0; i--) {
    let rest = rows[i]![n]!;
    for (let k = i + 1; k < n; k++) rest -= rows[i]![k]! * solution[k]!;
    solution[i] = rest / rows[i]![i]!;
  }
  return solution;
}

/** Solves a small set of linear equations with a positive definite matrix by Gauss's elimination. */
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

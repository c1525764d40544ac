import type { Measure } from '../../quantities/measures.js';

/**
 * The value of a computed measure, in its canonical unit; null where nothing was computed. @example
 * measuredValue({ measure: 'volume', value: 1.2 }) // 1.2
 */
export function measuredValue(computed: unknown): number | null {
  return typeof computed === 'object' && computed !== null && 'measure' in computed
    ? (computed as Measure).value
    : null;
}

/** A computed number; null where nothing was computed. @example numberIn(undefined) // null */
export function numberIn(computed: unknown): number | null {
  return typeof computed === 'number' ? computed : null;
}

/**
 * The findings for the codes that a rule computed; null if none of them counts.
 *
 * @example findingsByCode(['rust', 'none'], { rust: 'dirt' }) // ['dirt']
 */
export function findingsByCode<F extends string>(
  codes: unknown,
  known: Readonly<Record<string, F>>,
): F[] | null {
  if (!Array.isArray(codes)) return null;
  const found = codes.flatMap((code) => (typeof code === 'string' ? (known[code] ?? []) : []));
  return found.length === 0 ? null : found;
}

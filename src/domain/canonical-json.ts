/**
 * JSON whose text depends neither on the order of fields, of which a database keeps its own, nor on
 * the last bits of a number.
 *
 * @example canonicalJson({ b: 1, a: 0.1 + 0.2 }) // '{"a":0.3,"b":1}'
 */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_key, inner: unknown) => {
    if (typeof inner === 'number') return Number(inner.toPrecision(9));
    if (typeof inner !== 'object' || inner === null || Array.isArray(inner)) return inner;
    return Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}

/** A JSON object. */
export type Plain = Record<string, unknown>;

export function isPlain(value: unknown): value is Plain {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/**
 * A quantity is one value: half of one would take the other half from a unit the sender did not
 * mean.
 */
function isQuantity(value: Plain): boolean {
  return 'value' in value || 'unit' in value;
}

/**
 * Applies a merge patch (RFC 7396): null clears, objects merge, all else replaces. Quantities are
 * replaced whole.
 */
export function mergePatch(target: unknown, patch: unknown): unknown {
  if (!isPlain(patch) || isQuantity(patch)) return patch;
  const merged: Plain = isPlain(target) && !isQuantity(target) ? { ...target } : {};
  for (const [key, value] of Object.entries(patch)) {
    if (value === null) delete merged[key];
    else merged[key] = mergePatch(merged[key], value);
  }
  return merged;
}

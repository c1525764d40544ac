/** A JSON object. */
export type Plain = Record<string, unknown>;

export function isPlain(value: unknown): value is Plain {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/**
 * A quantity is replaced as a whole. If a patch could change only its value, the old unit might not
 * be the one the sender meant.
 */
function isQuantity(value: Plain): boolean {
  return 'value' in value || 'unit' in value;
}

/**
 * Applies a merge patch (RFC 7396): null clears a field, objects are merged, everything else is
 * replaced. Quantities are replaced as a whole.
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

import { canonicalJson } from '../../../../../src/domain/canonical-json.js';
import type { Plain } from './shape.js';

const isPlain = (value: unknown): value is Plain =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

const isQuantity = (value: Plain): boolean => 'value' in value && 'unit' in value;

/** What of a record differs, as a merge patch (RFC 7396); empty when nothing does. */
export function patchOf(before: Plain, after: Plain): Record<string, unknown> {
  const patch: Record<string, unknown> = {};
  for (const [name, now] of Object.entries(after)) {
    const then = before[name] ?? null;
    if (canonicalJson(then) === canonicalJson(now)) continue;
    const isWithin = isPlain(then) && isPlain(now) && !isQuantity(now);
    patch[name] = isWithin ? patchOf(then, now) : now;
  }
  return patch;
}

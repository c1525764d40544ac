import { hash } from 'node:crypto';
import { MAX_DEPTH } from '../input/json-body.js';

/**
 * Content below this depth is left out of the hash. A batch is hashed before its items are checked,
 * and the check refuses anything nested this deeply.
 */
const DEEPEST = 2 * MAX_DEPTH;

function stable(value: unknown, depth = 0): unknown {
  if (typeof value !== 'object' || value === null) return value;
  if (depth > DEEPEST) return null;
  if (Array.isArray(value)) return value.map((inner) => stable(inner, depth + 1));
  return Object.fromEntries(
    Object.entries(value)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, inner]) => [key, stable(inner, depth + 1)]),
  );
}

/** A SHA-256 hash of content that does not depend on the order of its fields. */
export function contentHash(content: unknown): Buffer {
  return hash('sha256', JSON.stringify(stable(content)) ?? '', 'buffer');
}

import { type DocumentNode, keyOf } from './document-node.js';
import { MOST_DEEP, MOST_VALUES, textOfPage } from './limits.js';
import { UnreadableDocument } from './machine-report.js';
import { message } from './messages.js';

const QUOTE = 0x22;
const BACKSLASH = 0x5c;

/**
 * Refuses nesting and numbers of values that no document of these standards needs, before the
 * parser spends memory on them.
 */
function refuseBomb(bytes: Uint8Array): void {
  let depth = 0;
  let values = 0;
  let isInText = false;
  for (let at = 0; at < bytes.length; at++) {
    const byte = bytes[at];
    if (isInText) {
      if (byte === BACKSLASH) at++;
      else if (byte === QUOTE) isInText = false;
      continue;
    }
    if (byte === QUOTE) isInText = true;
    else if (byte === 0x7b || byte === 0x5b) {
      values++;
      if (++depth > MOST_DEEP)
        throw new UnreadableDocument(message('telematics-too-deep', { most: MOST_DEEP }));
    } else if (byte === 0x7d || byte === 0x5d) depth--;
    else if (byte === 0x2c) values++;
  }
  if (values > MOST_VALUES)
    throw new UnreadableDocument(message('telematics-too-many-values', { most: MOST_VALUES }));
}

/**
 * The value of a JSON document (RFC 8259).
 *
 * @throws UnreadableDocument
 */
export function jsonOf(bytes: Uint8Array): unknown {
  const text = textOfPage(bytes);
  refuseBomb(bytes);
  try {
    return JSON.parse(text);
  } catch {
    throw new UnreadableDocument(message('telematics-not-json'));
  }
}

/** What a value is, for a message about a document of another kind. */
export function kindOf(value: unknown): string {
  if (Array.isArray(value)) return '[…]';
  if (typeof value === 'object' && value !== null) return '{…}';
  return value === undefined ? 'null' : JSON.stringify(value);
}

/** A field of an object, by a name as `keyOf` gives it; undefined where there is none. */
export function fieldOf(value: unknown, name: string): unknown {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return undefined;
  // What a name can begin with besides its letters is one or two characters long.
  return Object.entries(value).find(([key]) => key.length <= name.length + 2 && keyOf(key) === name)?.[1];
}

const NOTHING: readonly DocumentNode[] = [];

class JsonNode implements DocumentNode {
  constructor(private readonly value: unknown) {}

  get text(): string | null {
    const { value } = this;
    return typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean'
      ? String(value)
      : null;
  }

  named(name: string): readonly DocumentNode[] {
    const found = fieldOf(this.value, name);
    if (found === undefined || found === null) return NOTHING;
    return Array.isArray(found) ? found.map((one) => new JsonNode(one)) : [new JsonNode(found)];
  }
}

export function jsonNode(value: unknown): DocumentNode {
  return new JsonNode(value);
}

import { type DocumentNode, keyOf } from './document-node.js';
import { MOST_DEEP, MOST_FIELDS, MOST_VALUES, textOfPage } from './limits.js';
import { UnreadableDocument } from './machine-report.js';
import { message } from './messages.js';

const QUOTE = 0x22;
const BACKSLASH = 0x5c;

const OBJECT = 0x7b;
const LIST = 0x5b;

/**
 * Refuses nesting and numbers of values that no document of these standards needs, before the
 * parser spends memory and time on them.
 */
function refuseBomb(bytes: Uint8Array): void {
  let depth = 0;
  let values = 0;
  let isInText = false;
  /** How many entries each open object has; of a list they do not matter. */
  const fields = new Int32Array(MOST_DEEP + 1);
  for (let at = 0; at < bytes.length; at++) {
    const byte = bytes[at];
    if (isInText) {
      if (byte === BACKSLASH) at++;
      else if (byte === QUOTE) isInText = false;
      continue;
    }
    if (byte === QUOTE) isInText = true;
    else if (byte === OBJECT || byte === LIST) {
      values++;
      if (++depth > MOST_DEEP)
        throw new UnreadableDocument(message('telematics-too-deep', { most: MOST_DEEP }));
      fields[depth] = byte === OBJECT ? 1 : -MOST_VALUES;
    } else if (byte === 0x7d || byte === 0x5d) depth = Math.max(0, depth - 1);
    else if (byte === 0x2c) {
      values++;
      fields[depth] = (fields[depth] ?? 0) + 1;
      if ((fields[depth] ?? 0) > MOST_FIELDS) throw tooMany(MOST_FIELDS);
    }
    if (values > MOST_VALUES) throw tooMany(MOST_VALUES);
  }
}

const tooMany = (most: number): UnreadableDocument =>
  new UnreadableDocument(message('telematics-too-many-values', { most }));

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

const NOTHING: readonly DocumentNode[] = [];
/** A value of JSON whose fields are looked up by name, whatever their case. */
export class JsonNode implements DocumentNode {
  #fields: ReadonlyMap<string, unknown> | null = null;

  constructor(private readonly value: unknown) {}

  get text(): string | null {
    const { value } = this;
    return typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean'
      ? String(value)
      : null;
  }

  /** A field by its name as `keyOf` gives it; undefined where there is none. */
  field(name: string): unknown {
    this.#fields ??= fieldsOf(this.value);
    return this.#fields.get(name);
  }

  named(name: string): readonly DocumentNode[] {
    const found = this.field(name);
    if (found === undefined || found === null) return NOTHING;
    return Array.isArray(found) ? found.map((one) => new JsonNode(one)) : [new JsonNode(found)];
  }
}

function fieldsOf(value: unknown): ReadonlyMap<string, unknown> {
  const fields = new Map<string, unknown>();
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return fields;
  for (const [key, inside] of Object.entries(value))
    if (!fields.has(keyOf(key))) fields.set(keyOf(key), inside);
  return fields;
}

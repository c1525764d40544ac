import { SaxesParser, type SaxesTagNS } from 'saxes';
import { type DocumentNode, keyOf } from './document-node.js';
import { MOST_DEEP, MOST_VALUES, MOST_VALUES_OF_A_MACHINE, shownText, textOfPage } from './limits.js';
import { UnreadableDocument } from './machine-report.js';
import { message } from './messages.js';

/** How much text the parser is given at a time; the event loop runs in between. */
const PIECE = 256 * 1024;

const NOTHING: readonly DocumentNode[] = [];

class XmlNode implements DocumentNode {
  readonly #children = new Map<string, XmlNode[]>();
  #text = '';

  get text(): string | null {
    return this.#children.size === 0 || this.#text.trim() !== '' ? this.#text : null;
  }

  named(name: string): readonly DocumentNode[] {
    return this.#children.get(name) ?? NOTHING;
  }

  write(text: string): void {
    this.#text += text;
  }

  add(name: string, child: XmlNode): void {
    const key = keyOf(name);
    const others = this.#children.get(key);
    if (others) others.push(child);
    else this.#children.set(key, [child]);
  }
}

/** What to do with a document: which elements to build, and what to do with each. */
export interface XmlReading {
  /** The names that the root may have, as the standard writes them. */
  roots: readonly string[];
  /** The elements below the root that are wanted; others are passed over. */
  parts: readonly string[];
  /** @param index among the parts of its name, from 0 */
  take(part: DocumentNode, name: string, index: number): void;
}

/**
 * Reads the parts of an XML document one after the other, so that only one is in memory as a tree.
 *
 * Elements count by their local name if they are in the namespace of the root; those in another are
 * extensions, and passed over. Nothing that a document declares is expanded: a DOCTYPE is refused.
 */
class PartReader {
  readonly #parser = new SaxesParser({ xmlns: true });
  readonly #open: XmlNode[] = [];
  readonly #counts = new Map<string, number>();
  readonly #wanted: ReadonlyMap<string, string>;
  #depth = 0;
  #values = 0;
  #valuesOfPart = 0;
  #namespace = '';
  /** How deep the element is that is passed over with all that is in it; 0 for none. */
  #passedOver = 0;
  #hasRoot = false;

  constructor(private readonly reading: XmlReading) {
    this.#wanted = new Map(reading.parts.map((name) => [keyOf(name), name]));
    this.#parser.on('error', () => {
      throw new UnreadableDocument(message('telematics-not-xml', { line: this.#parser.line }));
    });
    this.#parser.on('doctype', () => {
      throw new UnreadableDocument(message('telematics-doctype'));
    });
    this.#parser.on('opentag', (tag) => this.#opened(tag));
    this.#parser.on('closetag', (tag) => this.#closed(tag));
    this.#parser.on('text', (text) => this.#open.at(-1)?.write(text));
    this.#parser.on('cdata', (text) => this.#open.at(-1)?.write(text));
  }

  write(text: string): void {
    this.#parser.write(text);
  }

  end(): void {
    this.#parser.close();
  }

  #opened(tag: SaxesTagNS): void {
    const attributes = Object.values(tag.attributes);
    this.#count(1 + attributes.length);
    if (++this.#depth > MOST_DEEP)
      throw new UnreadableDocument(message('telematics-too-deep', { most: MOST_DEEP }));
    if (!this.#hasRoot) return this.#openedRoot(tag);
    if (this.#passedOver > 0) return;
    const isForeign = tag.uri !== this.#namespace;
    const isUnwanted = this.#open.length === 0 && !this.#wanted.has(keyOf(tag.local));
    if (isForeign || isUnwanted) {
      this.#passedOver = this.#depth;
      return;
    }
    if (this.#open.length === 0) this.#valuesOfPart = 0;
    this.#open.push(nodeOf(tag));
  }

  /** A root that is itself a part is a document of one part. */
  #openedRoot(tag: SaxesTagNS): void {
    this.#hasRoot = true;
    this.#namespace = tag.uri;
    const name = keyOf(tag.local);
    if (this.#wanted.has(name)) this.#open.push(nodeOf(tag));
    else if (!this.reading.roots.some((root) => keyOf(root) === name))
      throw new UnreadableDocument(
        message('telematics-other-document', {
          found: shownText(tag.local),
          expected: this.reading.roots[0] ?? '',
        }),
      );
  }

  #closed(tag: SaxesTagNS): void {
    const depth = this.#depth--;
    if (this.#passedOver > 0) {
      if (this.#passedOver === depth) this.#passedOver = 0;
      return;
    }
    const closed = this.#open.pop();
    if (closed === undefined) return;
    const parent = this.#open.at(-1);
    if (parent !== undefined) return parent.add(tag.local, closed);
    const name = this.#wanted.get(keyOf(tag.local)) ?? '';
    const index = this.#counts.get(name) ?? 0;
    this.#counts.set(name, index + 1);
    this.reading.take(closed, name, index);
  }

  #count(values: number): void {
    this.#values += values;
    this.#valuesOfPart += values;
    const isTooMany = this.#open.length > 0 && this.#valuesOfPart > MOST_VALUES_OF_A_MACHINE;
    if (this.#values <= MOST_VALUES && !isTooMany) return;
    const most = isTooMany ? MOST_VALUES_OF_A_MACHINE : MOST_VALUES;
    throw new UnreadableDocument(message('telematics-too-many-values', { most }));
  }
}

function nodeOf(tag: SaxesTagNS): XmlNode {
  const node = new XmlNode();
  for (const { local, prefix, value } of Object.values(tag.attributes)) {
    if (prefix === 'xmlns' || local === 'xmlns') continue;
    const attribute = new XmlNode();
    attribute.write(value);
    node.add(local, attribute);
  }
  return node;
}

/**
 * Reads an XML document (XML 1.0 with namespaces).
 *
 * @throws UnreadableDocument
 */
export async function readXml(bytes: Uint8Array, reading: XmlReading): Promise<void> {
  const text = textOfPage(bytes);
  const reader = new PartReader(reading);
  for (let at = 0; at < text.length; at += PIECE) {
    if (at > 0) await new Promise((resolve) => setImmediate(resolve));
    reader.write(text.slice(at, at + PIECE));
  }
  reader.end();
}

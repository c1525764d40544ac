/**
 * An element of XML or a value of JSON. ISO 15143-3 has the same fields in both, and servers differ
 * in what is an attribute, what is an element, and in the case of names.
 */
export interface DocumentNode {
  /** The text of an element without children, or of a JSON string, number, true or false. */
  readonly text: string | null;
  /** The elements, attributes or fields of this name; a JSON list gives its entries. */
  named(name: string): readonly DocumentNode[];
}

/** A node and where it is. */
export interface Placed {
  node: DocumentNode;
  path: string;
}

/** How a kind of document writes the place of an entry of a list, from 0. */
export type Entry = (path: string, index: number) => string;

/** @example inXml('/Fleet/Equipment', 0) // '/Fleet/Equipment[1]', as XPath counts */
export const inXml: Entry = (path, index) => `${path}[${index + 1}]`;
/** @example inJson('/Equipment', 0) // '/Equipment/0', a JSON Pointer (RFC 6901) */
export const inJson: Entry = (path, index) => `${path}/${index}`;

/** A name for comparison: `@datetime`, `Datetime` and `dateTime` are the same. */
export const keyOf = (name: string): string => name.replace(/^[@_$-]+/, '').toLowerCase();

/** The nodes of a name below another, each with its place. */
export function below({ node, path }: Placed, name: string, entry: Entry): Placed[] {
  const nodes = node.named(keyOf(name));
  const place = `${path}/${name}`;
  return nodes.map((one, index) => ({ node: one, path: nodes.length > 1 ? entry(place, index) : place }));
}

/** The text of the first node of a name below another. */
export function textBelow({ node, path }: Placed, name: string): { text: string | null; path: string } {
  return { text: node.named(keyOf(name))[0]?.text ?? null, path: `${path}/${name}` };
}

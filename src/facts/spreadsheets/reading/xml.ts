import { SaxesParser } from 'saxes';
import { message } from './messages.js';
import type { Package } from './unpack.js';
import { UnreadableSheet } from './unreadable.js';

/** An element with its attributes, both without prefixes of namespaces. */
export interface Element {
  name: string;
  attributes: Readonly<Record<string, string>>;
}

export interface XmlHandler {
  open?(element: Element): void;
  text?(text: string): void;
  close?(name: string): void;
}

const local = (name: string): string => name.slice(name.indexOf(':') + 1);

/**
 * Reads a part of a workbook as XML. A document type is refused, because a workbook has none and
 * its entities could grow without limit.
 *
 * @throws UnreadableSheet when it is no XML
 */
export async function readXml(parts: Package, path: string, handler: XmlHandler): Promise<void> {
  const parser = new SaxesParser();
  const fail = (): never => {
    throw new UnreadableSheet(message('sheet-file-damaged'));
  };
  parser.on('error', fail);
  parser.on('doctype', fail);
  parser.on('opentag', ({ name, attributes }) =>
    handler.open?.({
      name: local(name),
      attributes: Object.fromEntries(Object.entries(attributes).map(([key, value]) => [local(key), value])),
    }),
  );
  parser.on('text', (text) => handler.text?.(text));
  parser.on('cdata', (text) => handler.text?.(text));
  parser.on('closetag', ({ name }) => handler.close?.(local(name)));
  await parts.text(path, (text) => parser.write(text));
  parser.close();
}

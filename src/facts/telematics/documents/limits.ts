import { UnreadableDocument } from './machine-report.js';
import { message } from './messages.js';

/** The largest page that is read, in MiB. All limits here are common practice, no source. */
export const MOST_MEBIBYTES = 16;
/** Elements or objects inside one another. The published documents need six. */
export const MOST_DEEP = 32;
/** Elements, attributes, fields and list entries in one page. */
export const MOST_VALUES = 1_000_000;
/** Fields of one JSON object. */
export const MOST_FIELDS = 1000;
/**
 * Readings and faults in one post, or rows of a CSV file: they are taken while the source waits.
 */
export const MOST_PUSHED = 10_000;
/** Elements and attributes of one machine. */
export const MOST_VALUES_OF_A_MACHINE = 20_000;
/** Refused values that one page tells one by one. */
export const MOST_REFUSED = 1000;
/** Characters of a name, a serial number or a code. */
export const MOST_CHARACTERS = 100;
/** Characters of a link. */
export const LONGEST_LINK = 2000;

/** @throws UnreadableDocument for more bytes than a page may have */
export function refuseTooLarge(bytes: Uint8Array): void {
  if (bytes.length > MOST_MEBIBYTES * 1024 * 1024)
    throw new UnreadableDocument(message('telematics-too-large', { most: MOST_MEBIBYTES }));
}

/**
 * The text of a page. Both standards send UTF-8; a byte order mark is dropped.
 *
 * @throws UnreadableDocument for other bytes, and for too many
 */
export function textOfPage(bytes: Uint8Array): string {
  refuseTooLarge(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new UnreadableDocument(message('telematics-not-utf8'));
  }
}

/** Short enough that no message cuts it again, perhaps in the middle of a surrogate pair. */
const MOST_SHOWN = 50;

/** A text of the document for a message: short, on one line, and storable. */
export function shownText(text: string): string {
  const start = text.length > MOST_SHOWN ? `${text.slice(0, MOST_SHOWN - 1)}…` : text;
  return start.replaceAll(/[\p{Cc}\p{Cs}\u2028\u2029]/gu, '\uFFFD');
}

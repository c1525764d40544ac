import { Problem, unacceptable } from '../problems/problem.js';
import { message } from './messages.js';

/** How the text of a file is written, by the labels of the Encoding standard. */
export const ENCODINGS = ['utf-8', 'windows-1252', 'utf-16le', 'utf-16be'] as const;
export type Encoding = (typeof ENCODINGS)[number];

/** What a sender can say of a file. `utf-16` leaves the order of the bytes to the file. */
export type Declared = Encoding | 'utf-16';

/** The names that senders give the encodings. */
const CHARSETS: Readonly<Record<string, Declared>> = {
  'utf-8': 'utf-8',
  utf8: 'utf-8',
  'us-ascii': 'utf-8',
  'windows-1252': 'windows-1252',
  cp1252: 'windows-1252',
  // Browsers read it so, too: Windows-1252 has the same letters, and more.
  'iso-8859-1': 'windows-1252',
  latin1: 'windows-1252',
  'utf-16': 'utf-16',
  'utf-16le': 'utf-16le',
  'utf-16be': 'utf-16be',
};

/** The media type of a Content-Type, without its parameters. */
export function mediaTypeOf(contentType = ''): string {
  return contentType.split(';', 1)[0]?.trim().toLowerCase() ?? '';
}

/**
 * The encoding that a Content-Type declares; null when it declares none.
 *
 * @throws Problem 415 for one that is not read here
 */
export function charsetOf(contentType = ''): Declared | null {
  const given = /;\s*charset\s*=\s*"?([^";]*)"?/i.exec(contentType)?.[1]?.trim() ?? '';
  if (given === '') return null;
  const known = CHARSETS[given.toLowerCase()];
  if (known !== undefined) return known;
  const detail = message('charset-not-taken', {
    given: given.slice(0, 60),
    accepted: [...ENCODINGS, 'utf-16'],
  });
  throw new Problem(415, 'media-type', detail, [{ header: 'Content-Type', detail }]);
}

/** How many of the first bytes tell UTF-16. */
const LOOKED_AT = 200;

/** Detects the encoding from the bytes as they arrive. */
export class EncodingProbe {
  private readonly utf8 = new TextDecoder('utf-8', { fatal: true });
  private isUtf8 = true;
  private start = Buffer.alloc(0);

  see(chunk: Uint8Array): void {
    if (this.start.length < LOOKED_AT)
      this.start = Buffer.concat([this.start, chunk.subarray(0, LOOKED_AT - this.start.length)]);
    this.check(() => this.utf8.decode(chunk, { stream: true }));
  }

  /**
   * The encoding of all bytes seen. A byte order mark tells more than the sender says.
   *
   * @throws Problem 422 when the sender says UTF-16 and the bytes are something else
   */
  verdict(declared: Declared | null = null): Encoding {
    this.check(() => this.utf8.decode());
    const utf16 = utf16Of(this.start);
    if (utf16 !== null) return utf16;
    if (declared === 'utf-16' || declared === 'utf-16le' || declared === 'utf-16be') {
      if (this.start.length === 0) return 'utf-8';
      throw unacceptable([{ detail: message('file-not-utf-16', { given: declared }) }]);
    }
    return this.isUtf8 && declared !== 'windows-1252' ? 'utf-8' : 'windows-1252';
  }

  private check(decode: () => unknown): void {
    if (!this.isUtf8) return;
    try {
      decode();
    } catch {
      this.isUtf8 = false;
    }
  }
}

/**
 * Recognises UTF-16 by its byte order mark, or by its zero bytes: more than a third of the first
 * bytes are zero, because half of each plain letter is. Which half tells the order of the bytes.
 */
function utf16Of(start: Uint8Array): Encoding | null {
  const [first, second] = start;
  if (first === 0xff && second === 0xfe) return 'utf-16le';
  if (first === 0xfe && second === 0xff) return 'utf-16be';
  const zeros = [0, 0];
  for (const [index, byte] of start.entries()) if (byte === 0) zeros[index % 2]!++;
  const [even = 0, odd = 0] = zeros;
  if (start.length < 4 || even + odd <= start.length / 3) return null;
  return odd >= even ? 'utf-16le' : 'utf-16be';
}

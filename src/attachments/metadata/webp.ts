import { type ByteReader, DamagedFile } from './byte-reader.js';
import { orientationBlock, orientationOf } from './orientation.js';

/** Chunks without which the picture would be drawn otherwise (RFC 9649, 2.7). */
const DRAWN = new Set(['VP8 ', 'VP8L', 'VP8X', 'ALPH', 'ANIM', 'ANMF', 'ICCP']);
/** Padding, by the RIFF specification; readers pass over it. */
const PADDING = 'JUNK';
const HAS_XMP = 0b100;
const VP8X_BYTES = 10;
const EXIF_READ_BYTES = 65_536;
const ZEROS = Buffer.alloc(16_384);

/**
 * A WebP without XMP, Exif but for the orientation, chunks of anybody's own, and whatever follows the picture. The file's length
 * stands at its beginning, which has been passed on when such a chunk comes: each leaves as many zeros behind.
 */
export async function* withoutWebpMetadata(reader: ByteReader): AsyncGenerator<Buffer> {
  const head = await reader.take(12);
  yield head;
  // The size counts from the word WEBP on.
  let left = head.readUInt32LE(4) - 4;
  while (left >= 8) {
    const chunkHead = await reader.take(8);
    const type = chunkHead.subarray(0, 4).toString('latin1');
    const size = chunkHead.readUInt32LE(4);
    const padded = size + (size % 2);
    left -= 8 + padded;
    if (left < 0 || (type === 'VP8X' && size !== VP8X_BYTES)) throw new DamagedFile();
    if (type === 'VP8X') yield* withoutXmpFlag(chunkHead, await reader.take(padded));
    else if (DRAWN.has(type)) {
      yield chunkHead;
      yield* reader.pass(padded);
    } else yield* blanked(chunkHead, type, padded, reader);
  }
  if (left !== 0) throw new DamagedFile();
  await reader.drain();
}

function* withoutXmpFlag(head: Buffer, content: Buffer): Generator<Buffer> {
  const changed = Buffer.from(content);
  if (changed[0] !== undefined) changed[0] &= ~HAS_XMP;
  yield head;
  yield changed;
}

async function* blanked(
  head: Buffer,
  type: string,
  padded: number,
  reader: ByteReader,
): AsyncGenerator<Buffer> {
  const content = type === 'EXIF' ? await reader.take(Math.min(padded, EXIF_READ_BYTES)) : Buffer.alloc(0);
  await reader.skip(padded - content.length);
  const block = orientationBlock(orientationOf(content));
  if (type === 'EXIF' && padded >= block.length) {
    yield head;
    yield block;
    yield* zeros(padded - block.length);
    return;
  }
  yield Buffer.concat([Buffer.from(PADDING, 'latin1'), head.subarray(4)]);
  yield* zeros(padded);
}

function* zeros(count: number): Generator<Buffer> {
  for (let left = count; left > 0; left -= ZEROS.length) yield ZEROS.subarray(0, left);
}

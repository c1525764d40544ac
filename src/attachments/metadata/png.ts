import { crc32 } from 'node:zlib';
import type { ByteReader } from './byte-reader.js';
import { orientationBlock, orientationOf } from './orientation.js';

/** Chunks without which the picture would be drawn otherwise (PNG, third edition, 11.2 and 11.3). */
const DRAWN = new Set([
  ...['IHDR', 'PLTE', 'IDAT', 'IEND', 'tRNS'],
  ...['cHRM', 'gAMA', 'iCCP', 'sBIT', 'sRGB', 'cICP', 'mDCV', 'cLLI', 'bKGD', 'pHYs'],
]);
/** More than any Exif block needs to name its orientation. */
const EXIF_READ_BYTES = 65_536;

/** A PNG without texts, times, Exif but for the orientation, chunks of anybody's own, and whatever follows the picture. */
export async function* withoutPngMetadata(reader: ByteReader): AsyncGenerator<Buffer> {
  yield await reader.take(8);
  for (let type = ''; type !== 'IEND';) {
    const head = await reader.take(8);
    const length = head.readUInt32BE();
    type = head.subarray(4).toString('latin1');
    if (DRAWN.has(type)) {
      yield head;
      // With its checksum.
      yield* reader.pass(length + 4);
    } else if (type === 'eXIf') {
      const content = await reader.take(Math.min(length, EXIF_READ_BYTES));
      await reader.skip(length - content.length + 4);
      const orientation = orientationOf(content);
      if (orientation !== 1) yield chunk(type, orientationBlock(orientation));
    } else await reader.skip(length + 4);
  }
  await reader.drain();
}

function chunk(type: string, content: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), content]);
  const whole = Buffer.alloc(named.length + 8);
  whole.writeUInt32BE(content.length, 0);
  named.copy(whole, 4);
  whole.writeUInt32BE(crc32(named), named.length + 4);
  return whole;
}

import { crc32 } from 'node:zlib';
import { DamagedFile } from './damaged-file.js';
import { message } from '../messages.js';
import { KeptParts } from './kept-parts.js';
import { orientationBlock, orientationOf } from './orientation.js';

/** Chunks without which the picture would look different (PNG, third edition, 11.2 and 11.3). */
const DRAWN = new Set([
  ...['IHDR', 'PLTE', 'IDAT', 'IEND', 'tRNS'],
  ...['cHRM', 'gAMA', 'iCCP', 'sBIT', 'sRGB', 'cICP', 'mDCV', 'cLLI', 'bKGD', 'pHYs'],
]);
const SIGNATURE_BYTES = 8;
/** Length and type come before the content, the checksum after it. */
const HEAD_BYTES = 8;
const CHECKSUM_BYTES = 4;
const HEADER_CONTENT_BYTES = 13;
/** A picture of 10 MB has 1,280 chunks with the usual buffer of 8 kB. */
const MAX_CHUNKS = 20_000;

/**
 * Returns a PNG without texts, times, Exif (except the orientation), private chunks, and everything
 * after the picture.
 *
 * @throws DamagedFile
 */
export function withoutPngMetadata(file: Buffer): Buffer[] {
  const kept = new KeptParts(file);
  kept.keep(0, SIGNATURE_BYTES);
  let hasData = false;
  let at = SIGNATURE_BYTES;
  for (let count = 1; ; count++) {
    if (count > MAX_CHUNKS) throw new DamagedFile(message('file-too-many-chunks', { most: MAX_CHUNKS }));
    const { type, length } = chunkHeadAt(file, at);
    const end = at + HEAD_BYTES + length + CHECKSUM_BYTES;
    if (end > file.length) throw new DamagedFile(message('file-ends-early'));
    if ((count === 1) !== (type === 'IHDR') || (count === 1 && length !== HEADER_CONTENT_BYTES))
      throw new DamagedFile(message('file-header-misplaced'));
    if (DRAWN.has(type)) kept.keep(at, end);
    else if (type === 'eXIf') {
      const orientation = orientationOf(file.subarray(at + HEAD_BYTES, end - CHECKSUM_BYTES));
      if (orientation !== 1) kept.add(chunk(type, orientationBlock(orientation)));
    }
    hasData ||= type === 'IDAT' && length > 0;
    at = end;
    if (type !== 'IEND') continue;
    if (!hasData) throw new DamagedFile(message('file-no-picture'));
    return kept.all();
  }
}

/** @throws DamagedFile */
function chunkHeadAt(file: Buffer, at: number): { type: string; length: number } {
  if (at + HEAD_BYTES > file.length) throw new DamagedFile(message('file-ends-early'));
  const type = file.toString('latin1', at + 4, at + HEAD_BYTES);
  if (!/^[A-Za-z]{4}$/.test(type))
    throw new DamagedFile(message('file-chunk-without-name', { byte: at + 4 }));
  return { type, length: file.readUInt32BE(at) };
}

function chunk(type: string, content: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), content]);
  const whole = Buffer.alloc(named.length + HEAD_BYTES);
  whole.writeUInt32BE(content.length, 0);
  named.copy(whole, 4);
  whole.writeUInt32BE(crc32(named), named.length + 4);
  return whole;
}

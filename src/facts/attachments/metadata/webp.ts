import { DamagedFile } from './damaged-file.js';
import { KeptParts } from './kept-parts.js';
import { orientationBlock, orientationOf } from './orientation.js';

/** Chunks without which the picture would look different (RFC 9649, 2.7). */
const DRAWN = new Set(['VP8 ', 'VP8L', 'VP8X', 'ALPH', 'ANIM', 'ANMF', 'ICCP']);
const DATA = new Set(['VP8 ', 'VP8L', 'ANMF']);
/** A padding chunk of the RIFF specification. Readers skip it. */
const PADDING = Buffer.from('JUNK', 'latin1');
const HAS_XMP = 0b100;
const VP8X_BYTES = 10;
const FILE_HEAD_BYTES = 12;
const HEAD_BYTES = 8;
/** An animation has one chunk for each picture; a photo has a handful. */
const MAX_CHUNKS = 20_000;

/**
 * Returns a WebP without XMP, Exif (except the orientation), private chunks, and everything after
 * the picture. Each removed chunk is replaced by the same number of zeros, so the length at the
 * beginning of the file stays correct.
 *
 * @throws DamagedFile
 */
export function withoutWebpMetadata(file: Buffer): Buffer[] {
  const kept = new KeptParts(file);
  kept.keep(0, FILE_HEAD_BYTES);
  // The size is counted from the word WEBP.
  const end = HEAD_BYTES + file.readUInt32LE(4);
  if (end > file.length) throw new DamagedFile('it ends too early');
  let hasData = false;
  let at = FILE_HEAD_BYTES;
  for (let count = 1; at < end; count++) {
    if (count > MAX_CHUNKS) throw new DamagedFile(`it has more than ${MAX_CHUNKS} chunks`);
    const { type, next } = chunkAt(file, at, end);
    if (type === 'VP8X') keepWithoutXmpFlag(kept, file.subarray(at, next));
    else if (DRAWN.has(type)) kept.keep(at, next);
    else blank(kept, file.subarray(at, next), type);
    hasData ||= DATA.has(type) && next > at + HEAD_BYTES;
    at = next;
  }
  if (!hasData) throw new DamagedFile('there is no picture in it');
  return kept.all();
}

/**
 * The chunk at `at`, and where the next one begins.
 *
 * @throws DamagedFile
 */
function chunkAt(file: Buffer, at: number, end: number): { type: string; next: number } {
  if (at + HEAD_BYTES > end) throw new DamagedFile('its parts are longer than the whole');
  const type = file.toString('latin1', at, at + 4);
  if (!/^[ -~]{4}$/.test(type)) throw new DamagedFile(`byte ${at} begins no name of a chunk`);
  const size = file.readUInt32LE(at + 4);
  const next = at + HEAD_BYTES + size + (size % 2);
  if (next > end) throw new DamagedFile('its parts are longer than the whole');
  if (type === 'VP8X' && size !== VP8X_BYTES) throw new DamagedFile('its header cannot be read');
  return { type, next };
}

function keepWithoutXmpFlag(kept: KeptParts, chunk: Buffer): void {
  const changed = Buffer.from(chunk);
  changed.writeUInt8(changed.readUInt8(HEAD_BYTES) & ~HAS_XMP, HEAD_BYTES);
  kept.add(changed);
}

function blank(kept: KeptParts, chunk: Buffer, type: string): void {
  const blanked = Buffer.alloc(chunk.length);
  chunk.copy(blanked, 0, 0, HEAD_BYTES);
  const block = orientationBlock(orientationOf(chunk.subarray(HEAD_BYTES)));
  if (type === 'EXIF' && chunk.length >= HEAD_BYTES + block.length) block.copy(blanked, HEAD_BYTES);
  else PADDING.copy(blanked);
  kept.add(blanked);
}

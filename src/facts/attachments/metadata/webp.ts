import { DamagedFile } from './damaged-file.js';
import { message } from '../messages.js';
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
  if (end > file.length) throw new DamagedFile(message('file-ends-early'));
  let hasData = false;
  let at = FILE_HEAD_BYTES;
  for (let count = 1; at < end; count++) {
    if (count > MAX_CHUNKS) throw new DamagedFile(message('file-too-many-chunks', { most: MAX_CHUNKS }));
    const { type, next } = chunkAt(file, at, end);
    if (type === 'VP8X') keepWithoutXmpFlag(kept, file.subarray(at, next));
    else if (DRAWN.has(type)) kept.keep(at, next);
    else blank(kept, file.subarray(at, next), type);
    hasData ||= DATA.has(type) && next > at + HEAD_BYTES;
    at = next;
  }
  if (!hasData) throw new DamagedFile(message('file-no-picture'));
  return kept.all();
}

/**
 * The chunk at `at`, and where the next one begins.
 *
 * @throws DamagedFile
 */
function chunkAt(file: Buffer, at: number, end: number): { type: string; next: number } {
  if (at + HEAD_BYTES > end) throw new DamagedFile(message('file-parts-too-long'));
  const type = file.toString('latin1', at, at + 4);
  if (!/^[ -~]{4}$/.test(type)) throw new DamagedFile(message('file-chunk-without-name', { byte: at }));
  const size = file.readUInt32LE(at + 4);
  const next = at + HEAD_BYTES + size + (size % 2);
  if (next > end) throw new DamagedFile(message('file-parts-too-long'));
  if (type === 'VP8X' && size !== VP8X_BYTES) throw new DamagedFile(message('file-header-unreadable'));
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

import type { ByteReader } from './byte-reader.js';
import { orientationBlock, orientationOf } from './orientation.js';

// Markers: ITU-T T.81, table B.1.
const EOI = 0xd9;
const SOS = 0xda;
const APP0 = 0xe0;
const APP1 = 0xe1;
const APP2 = 0xe2;
const APP14 = 0xee;
const COM = 0xfe;

const isRestart = (marker: number): boolean => marker >= 0xd0 && marker <= 0xd7;
const isAlone = (marker: number): boolean => isRestart(marker) || marker === 0x01 || marker === 0xd8;
const isOfApplication = (marker: number): boolean => (marker >= APP0 && marker <= 0xef) || marker === COM;

/**
 * A JPEG without what does not belong to the picture: Exif, XMP and IPTC, in which cameras write the place, comments, makers' own
 * segments, previews, and whatever follows the picture. How it is drawn is untouched: JFIF, colour profile, Adobe's colour
 * transform, and the orientation.
 */
export async function* withoutJpegMetadata(reader: ByteReader): AsyncGenerator<Buffer> {
  yield await reader.take(2);
  for (let marker = await nextMarker(reader); ;) {
    if (marker === EOI) break;
    if (isAlone(marker)) {
      yield Buffer.from([0xff, marker]);
      marker = await nextMarker(reader);
      continue;
    }
    // The length counts its own two bytes.
    const length = Math.max((await reader.take(2)).readUInt16BE() - 2, 0);
    if (isOfApplication(marker)) yield* keptOf(marker, await reader.take(length));
    else {
      yield segmentHead(marker, length);
      yield* reader.pass(length);
    }
    marker = marker === SOS ? yield* scan(reader) : await nextMarker(reader);
  }
  yield Buffer.from([0xff, EOI]);
  await reader.drain();
}

function segmentHead(marker: number, length: number): Buffer {
  const head = Buffer.from([0xff, marker, 0, 0]);
  head.writeUInt16BE(length + 2, 2);
  return head;
}

function* keptOf(marker: number, content: Buffer): Generator<Buffer> {
  const begins = (text: string): boolean =>
    content.subarray(0, text.length).equals(Buffer.from(text, 'latin1'));
  if (marker === APP1 && begins('Exif\0')) {
    const orientation = orientationOf(content);
    if (orientation === 1) return;
    const block = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), orientationBlock(orientation)]);
    yield segmentHead(APP1, block.length);
    yield block;
    return;
  }
  const isKept =
    (marker === APP0 && begins('JFIF\0')) ||
    (marker === APP2 && begins('ICC_PROFILE\0')) ||
    (marker === APP14 && begins('Adobe'));
  if (!isKept) return;
  yield segmentHead(marker, content.length);
  yield content;
}

/** The next marker; fill bytes, and what stands where a marker should, are passed over as decoders do. */
async function nextMarker(reader: ByteReader): Promise<number> {
  for (;;) {
    while ((await byteOf(reader)) !== 0xff);
    let code = await byteOf(reader);
    while (code === 0xff) code = await byteOf(reader);
    if (code !== 0) return code;
  }
}

const byteOf = async (reader: ByteReader): Promise<number> => (await reader.take(1))[0] as number;

/** Coded picture data up to the marker that ends it, which is returned (T.81, B.1.1.5: 0xFF in data is followed by 0). */
async function* scan(reader: ByteReader): AsyncGenerator<Buffer, number> {
  for (;;) {
    const piece = await reader.takePiece();
    let from = 0;
    for (;;) {
      const at = piece.indexOf(0xff, from);
      if (at === -1) {
        yield piece;
        break;
      }
      const code = piece[at + 1];
      if (code === undefined) {
        if (at > 0) yield piece.subarray(0, at);
        reader.giveBack(Buffer.concat([piece.subarray(at), await reader.takePiece()]));
        break;
      }
      if (code !== 0 && code !== 0xff && !isRestart(code)) {
        yield piece.subarray(0, at);
        reader.giveBack(piece.subarray(at + 2));
        return code;
      }
      from = code === 0xff ? at + 1 : at + 2;
    }
  }
}

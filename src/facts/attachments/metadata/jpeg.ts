import { DamagedFile } from './damaged-file.js';
import { message } from '../messages.js';
import { endOfScan, markerAt } from './jpeg-markers.js';
import { KeptParts } from './kept-parts.js';
import { orientationBlock, orientationOf } from './orientation.js';

// Markers: ITU-T T.81, table B.1.
const EOI = 0xd9;
const SOS = 0xda;
const DRI = 0xdd;
const APP0 = 0xe0;
const APP1 = 0xe1;
const APP2 = 0xe2;
const APP14 = 0xee;
const COM = 0xfe;

/** Tables and frames that a decoder needs: DHT, DAC, DQT, DNL, DRI, DHP, EXP, and every SOF. */
const isOfPicture = (marker: number): boolean =>
  (marker >= 0xc0 && marker <= 0xcf && marker !== 0xc8) || (marker >= SOS && marker <= 0xdf);
const isFrame = (marker: number): boolean =>
  marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
const isOfApplication = (marker: number): boolean => (marker >= APP0 && marker <= 0xef) || marker === COM;

/**
 * A progressive picture has about thirty segments. A colour profile can take 255, a long XMP block
 * 160. No picture needs this many.
 */
const MAX_SEGMENTS = 2000;

/**
 * Returns a JPEG without what is not needed to show the picture: Exif, XMP and IPTC (where cameras
 * write the place), comments, makers' own segments, previews, and everything after the picture. It
 * looks the same, because JFIF, the colour profile, Adobe's colour transform and the orientation
 * stay.
 *
 * @throws DamagedFile
 */
export function withoutJpegMetadata(file: Buffer): Buffer[] {
  const kept = new KeptParts(file);
  kept.keep(0, 2);
  let hasFrame = false;
  let hasScan = false;
  let hasRestarts = false;
  let at = 2;
  for (let count = 1; ; count++) {
    if (count > MAX_SEGMENTS)
      throw new DamagedFile(message('file-too-many-segments', { most: MAX_SEGMENTS }));
    const { marker, next } = markerAt(file, at);
    if (marker === EOI) {
      if (!hasFrame || !hasScan) throw new DamagedFile(message('file-no-picture'));
      kept.keep(next - 2, next);
      return kept.all();
    }
    if (!isOfPicture(marker) && !isOfApplication(marker))
      throw new DamagedFile(message('file-segment-misplaced', { byte: next - 1 }));
    const end = endOfSegment(file, next);
    const content = file.subarray(next + 2, end);
    if (isFrame(marker)) hasFrame = isUsableFrame(content);
    if (marker === DRI) hasRestarts = content.length >= 2 && content.readUInt16BE() > 0;
    if (isOfApplication(marker)) keepOfApplication(kept, marker, next - 2, content);
    else kept.keep(next - 2, end);
    at = end;
    if (marker === SOS) {
      if (!hasFrame || !isUsableScan(content)) throw new DamagedFile(message('file-no-usable-head'));
      at = endOfScan(file, end, hasRestarts);
      kept.keep(end, at);
      hasScan = true;
    }
  }
}

/** Where a segment ends. Its length is at `at` and includes its own two bytes. */
function endOfSegment(file: Buffer, at: number): number {
  if (at + 2 > file.length) throw new DamagedFile(message('file-ends-early'));
  const length = file.readUInt16BE(at);
  if (length < 2) throw new DamagedFile(message('file-segment-without-length', { byte: at - 2 }));
  if (at + length > file.length) throw new DamagedFile(message('file-ends-early'));
  return at + length;
}

/**
 * T.81, B.2.2: precision, height (0 if a DNL segment gives it), width, and three bytes for each
 * component.
 */
function isUsableFrame(content: Buffer): boolean {
  const components = content[5] ?? 0;
  if (components === 0 || content.length !== 6 + 3 * components || content.readUInt16BE(3) === 0)
    throw new DamagedFile(message('file-size-unreadable'));
  return true;
}

/** T.81, B.2.3: one to four components, with two bytes each, and three more bytes. */
function isUsableScan(content: Buffer): boolean {
  const components = content[0] ?? 0;
  return components >= 1 && components <= 4 && content.length === 4 + 2 * components;
}

function segment(marker: number, content: Buffer): Buffer {
  const whole = Buffer.alloc(4 + content.length);
  whole.writeUInt8(0xff, 0);
  whole.writeUInt8(marker, 1);
  whole.writeUInt16BE(content.length + 2, 2);
  content.copy(whole, 4);
  return whole;
}

function keepOfApplication(kept: KeptParts, marker: number, start: number, content: Buffer): void {
  const begins = (text: string): boolean =>
    content.subarray(0, text.length).equals(Buffer.from(text, 'latin1'));
  if (marker === APP1 && begins('Exif\0')) {
    const orientation = orientationOf(content);
    if (orientation === 1) return;
    const exif = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), orientationBlock(orientation)]);
    kept.add(segment(APP1, exif));
    return;
  }
  const isKept =
    (marker === APP0 && begins('JFIF\0')) ||
    (marker === APP2 && begins('ICC_PROFILE\0')) ||
    (marker === APP14 && begins('Adobe'));
  if (isKept) kept.keep(start, start + 4 + content.length);
}

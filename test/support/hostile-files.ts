import { drawnHead } from './picture-heads.js';

const MB = 1024 * 1024;
/** Maximum size of an attachment. */
export const FULL_BYTES = 10 * MB;

/** A file designed to keep its reader busy. */
export interface HostileFile {
  what: string;
  bytes: Buffer;
}

const END = Buffer.from('ffd9', 'hex');

/** `start`, then `piece` repeated up to 10 MB, then `end`. */
function filled(start: Buffer, piece: Buffer | string, end: Buffer = Buffer.alloc(0)): Buffer {
  const repeated = typeof piece === 'string' ? Buffer.from(piece, 'hex') : piece;
  const room = FULL_BYTES - start.length - end.length;
  const times = Math.floor(room / repeated.length);
  return Buffer.concat([start, Buffer.alloc(times * repeated.length, repeated), end]);
}

const hex = (text: string): Buffer => Buffer.from(text.replaceAll(' ', ''), 'hex');

function pngChunk(type: string, content: Buffer = Buffer.alloc(0)): Buffer {
  const whole = Buffer.alloc(content.length + 12);
  whole.writeUInt32BE(content.length, 0);
  whole.write(type, 4, 'latin1');
  content.copy(whole, 8);
  return whole;
}

function webp(chunks: Buffer): Buffer {
  const head = Buffer.from('RIFF\0\0\0\0WEBP', 'latin1');
  head.writeUInt32LE(chunks.length + 4, 4);
  return Buffer.concat([head, chunks]);
}

function webpOf(type: string): Buffer {
  const chunk = Buffer.concat([Buffer.from(type, 'latin1'), Buffer.alloc(4)]);
  return webp(filled(Buffer.alloc(0), chunk).subarray(0, FULL_BYTES - 16));
}

/** Pictures of 10 MB made of as many small parts as they can hold. */
export function hostilePictures(): HostileFile[] {
  const { jpeg, jpegUpToScan, png } = drawnHead();
  const soi = hex('ffd8');
  const files: [string, Buffer][] = [
    ['a JPEG of zeros between two markers', filled(hex('ffd8 ffe0 0002'), '00', END)],
    ['a JPEG of fill bytes', filled(soi, 'ff', END)],
    ['a JPEG of restart markers', filled(soi, 'ffd0', END)],
    ['a JPEG of restart markers where data should be', filled(jpegUpToScan, 'ffd0', END)],
    ['a JPEG of fill bytes where data should be', filled(jpegUpToScan, 'ff', END)],
    ['a JPEG of empty tables', filled(soi, 'ffdb0002', END)],
    ['a JPEG of empty tables before a picture', filled(jpeg, 'ffdb0002', END)],
    ['a JPEG of empty comments', filled(soi, 'fffe0002', END)],
    ['a JPEG of segments without a length', filled(soi, 'ffdb0000', END)],
    ['a JPEG of empty scans', filled(jpeg, 'ffda0002', END)],
    ['a JPEG of beginnings', filled(soi, 'ffd8', END)],
    ['a PNG of empty texts', filled(png, pngChunk('tEXt'), pngChunk('IEND'))],
    ['a PNG of empty data', filled(png, pngChunk('IDAT'), pngChunk('IEND'))],
    ['a PNG of empty Exif blocks', filled(png, pngChunk('eXIf'), pngChunk('IEND'))],
    ['a PNG of chunks without a name', filled(png, Buffer.alloc(12), pngChunk('IEND'))],
    ['a WebP of padding', webpOf('JUNK')],
    ['a WebP of empty Exif blocks', webpOf('EXIF')],
    ['a WebP of empty pictures', webpOf('VP8 ')],
  ];
  return files.map(([what, bytes]) => ({ what, bytes }));
}

const guid = (text: string): Buffer => hex(text);
const ASF = guid('3026b2758e66cf11a6d900aa0062ce6c');

function withU64(value: bigint): Buffer {
  const bytes = Buffer.alloc(8);
  bytes.writeBigUInt64LE(value);
  return bytes;
}

function zipEntry(name: string, method: number, compressed: number, descriptor = false): Buffer {
  const head = Buffer.alloc(30);
  head.write('PK\u0003\u0004', 0, 'latin1');
  head.writeUInt16LE(descriptor ? 8 : 0, 6);
  head.writeUInt16LE(method, 8);
  head.writeUInt32LE(compressed, 18);
  head.writeUInt32LE(compressed, 22);
  head.writeUInt16LE(name.length, 26);
  return Buffer.concat([head, Buffer.from(name, 'latin1')]);
}

/** Beginnings of files of other kinds, each cut or damaged in the bytes that identify its kind. */
export function bentHeads(): HostileFile[] {
  const junk = Buffer.alloc(3000, 0xa5);
  const files: [string, Buffer][] = [
    ['a ZIP that ends in its first head', Buffer.from('PK\u0003\u0004\u0014', 'latin1')],
    ['a ZIP whose content is no deflate', Buffer.concat([zipEntry('[Content_Types].xml', 8, 3000), junk])],
    ['a ZIP whose content has no end', Buffer.concat([zipEntry('[Content_Types].xml', 8, 0, true), junk])],
    ['a ZIP with a content of 4 GB', Buffer.concat([zipEntry('mimetype', 0, 0xffffffff), junk])],
    ['a ZIP of empty entries', filled(zipEntry('', 0, 0), zipEntry('', 0, 0)).subarray(0, 8000)],
    ['a Matroska with an element of no known size', hex(`1a45dfa3 01ffffffffffffff ${'42'.repeat(400)}`)],
    ['a Matroska with an element longer than the file', hex('1a45dfa3 0fffffff 4282 0fffffff 77')],
    ['a Matroska of elements without a head', hex(`1a45dfa3 00 ${'00'.repeat(400)}`)],
    ['an ASF with parts of no length', Buffer.concat([ASF, withU64(100n), Buffer.alloc(3000)])],
    [
      'an ASF with a stream part of 2^64 bytes',
      Buffer.concat([
        ASF,
        ...[withU64(2n ** 64n - 1n), hex('01000000 0102'), guid('9107dcb7b7a9cf118ee600c00c205365')],
        ...[withU64(2n ** 64n - 1n), junk],
      ]),
    ],
    ['an ASF that is over at once', ASF],
    ['a film of boxes without a length', hex(`00000000 66747970 ${'00'.repeat(100)}`)],
    ['a RIFF of nothing', Buffer.from('RIFF\0\0\0\0', 'latin1')],
    ['an Ogg that ends early', Buffer.from('OggS\0\u0002', 'latin1')],
    ['an ID3 tag as long as can be', hex(`494433 04 00 00 7f7f7f7f ${'00'.repeat(50)}`)],
    ['a TIFF that points past its end', hex('49492a00 ffffff7f')],
    ['a GZIP without content', hex('1f8b08')],
    ['a TAR of spaces', Buffer.alloc(600, ' ')],
  ];
  return files.map(([what, bytes]) => ({ what, bytes }));
}

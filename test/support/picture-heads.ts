const hex = (text: string): Buffer => Buffer.from(text.replaceAll(' ', ''), 'hex');

/** A grey 8 × 8 picture: its frame, and the head of its only scan. */
const FRAME = 'ffc0 000b 08 0008 0008 01 01 11 00';
const SCAN = 'ffda 0008 01 01 00 00 3f 00';
const PNG_SIGNATURE = '89504e470d0a1a0a';
const PNG_HEADER = '0000000d 49484452 00000001 00000001 08 06 00 00 00 1f15c489';

/** Beginnings of pictures, valid up to where they end. */
export function drawnHead(): { jpeg: Buffer; jpegUpToScan: Buffer; png: Buffer } {
  return {
    jpeg: hex(`ffd8 ${FRAME}`),
    jpegUpToScan: hex(`ffd8 ffdd 0004 0001 ${FRAME} ${SCAN}`),
    png: hex(PNG_SIGNATURE + PNG_HEADER),
  };
}

const ORIENTATION = 0x0112;
const SHORT = 3;
const ENTRY_BYTES = 12;

/**
 * The orientation of a picture, 1 to 8, from its Exif block (Exif 2.32, 4.6.4: tag 0x0112 of IFD0).
 * Returns 1, upright, when it is missing or unreadable.
 */
export function orientationOf(exif: Buffer): number {
  const start = exif.subarray(0, 6).toString('latin1') === 'Exif\0\0' ? 6 : 0;
  const tiff = exif.subarray(start);
  const isLittle = tiff.subarray(0, 2).toString('latin1') === 'II';
  const u16 = (at: number): number => (isLittle ? tiff.readUInt16LE(at) : tiff.readUInt16BE(at));
  try {
    const directory = isLittle ? tiff.readUInt32LE(4) : tiff.readUInt32BE(4);
    const entries = u16(directory);
    for (let index = 0; index < entries; index++) {
      const at = directory + 2 + index * ENTRY_BYTES;
      if (u16(at) !== ORIENTATION || u16(at + 2) !== SHORT) continue;
      const value = u16(at + 8);
      return value >= 1 && value <= 8 ? value : 1;
    }
  } catch {
    // A damaged block made us read past its end: it gives no orientation.
  }
  return 1;
}

/** A TIFF block of 26 bytes that contains only the orientation. */
export function orientationBlock(orientation: number): Buffer {
  const tiff = Buffer.alloc(26);
  tiff.write('MM\0*', 0, 'latin1');
  tiff.writeUInt32BE(8, 4);
  tiff.writeUInt16BE(1, 8);
  tiff.writeUInt16BE(ORIENTATION, 10);
  tiff.writeUInt16BE(SHORT, 12);
  tiff.writeUInt32BE(1, 14);
  tiff.writeUInt16BE(orientation, 18);
  return tiff;
}

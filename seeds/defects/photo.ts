import { crc32, deflateSync } from 'node:zlib';

const WIDTH = 160;
const HEIGHT = 120;
const TARMAC = [92, 94, 97] as const;
const DAMP = [62, 64, 68] as const;
const COOLANT = [96, 168, 92] as const;

/** A picture of coolant on the ground, drawn by numbers: a damp patch, and a puddle in it. */
export function puddle(): Buffer {
  const rows = Array.from({ length: HEIGHT }, (_, y) => {
    const row = Buffer.alloc(1 + WIDTH * 3);
    for (let x = 0; x < WIDTH; x++) {
      const away = Math.hypot((x - 84) / 1.5, y - 66);
      const [red, green, blue] = away < 16 ? COOLANT : away < 30 ? DAMP : TARMAC;
      const grain = ((x * 31 + y * 17) % 13) - 6;
      row.set([red + grain, green + grain, blue + grain], 1 + x * 3);
    }
    return row;
  });
  return png(WIDTH, HEIGHT, Buffer.concat(rows));
}

/**
 * A PNG of 8-bit colours (PNG specification, ISO/IEC 15948).
 *
 * @param filtered rows, each with its filter type 0 before its pixels
 */
function png(width: number, height: number, filtered: Buffer): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(width, 0);
  header.writeUInt32BE(height, 4);
  // Bit depth 8, colour type 2 (red, green, blue).
  header.set([8, 2], 8);
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk('IHDR', header),
    chunk('IDAT', deflateSync(filtered)),
    chunk('IEND', Buffer.alloc(0)),
  ]);
}

function chunk(type: string, data: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const length = Buffer.alloc(4);
  length.writeUInt32BE(data.length);
  const check = Buffer.alloc(4);
  check.writeUInt32BE(crc32(named));
  return Buffer.concat([length, named, check]);
}

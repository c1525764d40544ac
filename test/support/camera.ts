import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { encodeQR } from 'qr';
import sharp from 'sharp';

const [WIDTH, HEIGHT] = [640, 480];

/** A camera of the browser that plays a file. */
export interface FakeCamera {
  /** What the browser is launched with. */
  args: string[];
  /** What it sees from the next opening on: a QR code on a wall, a little askew. Null: the wall. */
  see(text: string | null): Promise<void>;
  remove(): void;
}

async function frame(text: string | null): Promise<Buffer> {
  const wall = sharp({ create: { width: WIDTH, height: HEIGHT, channels: 3, background: '#9a958c' } });
  if (text === null) return wall.jpeg().toBuffer();
  const code = await sharp(Buffer.from(encodeQR(text, 'svg', { ecc: 'high', border: 4 })))
    .resize(320, 320, { kernel: 'nearest' })
    .rotate(7, { background: '#9a958c' })
    .toBuffer();
  return wall
    .composite([{ input: code, left: 120, top: 40 }])
    .jpeg({ quality: 85 })
    .toBuffer();
}

/** Makes the file. The browser reads it anew each time a page opens the camera. */
export function fakeCamera(): FakeCamera {
  const folder = mkdtempSync(join(tmpdir(), 'weephole-camera-'));
  const file = join(folder, 'seen.mjpeg');
  return {
    args: ['--use-fake-device-for-media-stream', `--use-file-for-fake-video-capture=${file}`],
    async see(text) {
      const one = await frame(text);
      writeFileSync(file, Buffer.concat(Array.from({ length: 5 }, () => one)));
    },
    remove: () => rmSync(folder, { recursive: true }),
  };
}

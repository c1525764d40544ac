import { DamagedFile } from './damaged-file.js';
import { message } from '../messages.js';

/**
 * Any number of fill bytes may come before a marker (ITU-T T.81, B.1.1.2). No encoder needs this
 * many.
 */
const MAX_FILL_BYTES = 4096;

const isRestart = (marker: number): boolean => marker >= 0xd0 && marker <= 0xd7;

/**
 * The marker at `at`, and where it ends. Skips fill bytes before it.
 *
 * @throws DamagedFile when there is no marker
 */
export function markerAt(file: Buffer, at: number): { marker: number; next: number } {
  let next = at;
  while (file[next] === 0xff && file[next + 1] === 0xff) next++;
  if (next - at > MAX_FILL_BYTES) throw tooMuchFill();
  const marker = file[next + 1];
  if (marker === undefined) throw new DamagedFile(message('file-ends-early'));
  if (file[next] !== 0xff || marker === 0)
    throw new DamagedFile(message('file-byte-outside-segments', { byte: next }));
  return { marker, next: next + 2 };
}

/**
 * Where coded picture data ends: at the next marker (T.81, B.1.1.5: in data, 0xFF is followed by
 * 0). Restart markers count as data if the file announced them, and only after some data.
 *
 * @throws DamagedFile
 */
export function endOfScan(file: Buffer, from: number, hasRestarts: boolean): number {
  let fill = 0;
  let dataFrom = from;
  for (let at = from; at + 1 < file.length; at++) {
    if (file[at] !== 0xff) continue;
    const code = file[at + 1] as number;
    if (code === 0xff) {
      fill++;
      if (fill > MAX_FILL_BYTES) throw tooMuchFill();
      continue;
    }
    fill = 0;
    if (isRestart(code)) {
      if (!hasRestarts || at === dataFrom)
        throw new DamagedFile(message('file-restart-misplaced', { byte: at }));
      dataFrom = at + 2;
    } else if (code !== 0) return at;
    at++;
  }
  throw new DamagedFile(message('file-ends-early'));
}

function tooMuchFill(): DamagedFile {
  return new DamagedFile(message('file-too-much-fill', { most: MAX_FILL_BYTES }));
}

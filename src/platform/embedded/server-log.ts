import { closeSync, existsSync, fstatSync, openSync, readSync, renameSync, statSync } from 'node:fs';
import { giveToOwnerOfDirectory } from './account.js';

const LOG_LIMIT_BYTES = 10_000_000;

/** Opens the server's log for appending. A log that has grown large is renamed first. */
export function openLog(path: string): { fd: number; length: number } {
  if (existsSync(path) && statSync(path).size > LOG_LIMIT_BYTES) renameSync(path, `${path}.1`);
  const fd = openSync(path, 'a', 0o600);
  giveToOwnerOfDirectory(path);
  return { fd, length: fstatSync(fd).size };
}

/** Returns what was written since the log had this length. */
export function readFrom(path: string, start: number): string {
  const fd = openSync(path, 'r');
  try {
    const buffer = Buffer.alloc(Math.min(64_000, fstatSync(fd).size - start));
    readSync(fd, buffer, 0, buffer.length, start);
    return buffer.toString('utf8');
  } finally {
    closeSync(fd);
  }
}

import type { Readable } from 'node:stream';
import { Problem } from '../problems/problem.js';
import { message } from './messages.js';

/** The first and last byte, both included. */
export interface ByteRange {
  start: number;
  end: number;
}

/**
 * Stores files that do not go into the database. A file is stored completely or not at all, and
 * never changed.
 */
export abstract class FileStore {
  /** Moves a complete local file into the store. */
  abstract take(key: string, localPath: string, sizeBytes: number): Promise<void>;
  /** @throws FileMissing when no file has this key */
  abstract open(key: string, range?: ByteRange): Promise<Readable>;
  /** Removes a file. A missing file is not an error. */
  abstract remove(key: string): Promise<void>;
  /**
   * Whether this process can reach the place of a folder's files. A process with the wrong
   * directory finds no files either, and must not conclude that they were removed.
   */
  abstract reaches(folder: string): Promise<boolean>;
  /** Releases open resources. */
  close(): void {}
}

/** The key of a record's file. Each fleet has its own folder. */
export function fileKey({ fleetId, id }: { fleetId: string; id: string }): string {
  return `${fleetId}/${id}`;
}

/** The file of a record is not in the store. */
export class FileMissing extends Error {}

/** The problem when the store fails. The request is not at fault. */
export function storeAway(): Problem {
  return new Problem(503, 'file-store-away', message('file-store-away'), [], { 'retry-after': '30' });
}

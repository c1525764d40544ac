import type { Readable } from 'node:stream';
import { Problem } from '../problems/problem.js';
import { message } from './messages.js';

/** The first and the last byte, both included. */
export interface ByteRange {
  start: number;
  end: number;
}

/** Where files are kept that are no rows. Files come whole or not at all, and are never changed. */
export abstract class FileStore {
  /** Takes in a complete local file; the local one is gone afterwards. */
  abstract take(key: string, localPath: string, sizeBytes: number): Promise<void>;
  /** @throws FileMissing when there is none of this key */
  abstract open(key: string, range?: ByteRange): Promise<Readable>;
  /** Removes a file; one that is not there is removed already. */
  abstract remove(key: string): Promise<void>;
  /**
   * Whether this process reaches the place where files of a folder are kept. A process that was
   * given another directory finds no file either, and must not take that for removed.
   */
  abstract reaches(folder: string): Promise<boolean>;
  /** Lets go of what it holds open. */
  close(): void {}
}

/** Under which key the file of a record is kept: a fleet has a folder of its own. */
export function fileKey({ fleetId, id }: { fleetId: string; id: string }): string {
  return `${fleetId}/${id}`;
}

/** A file that a record speaks of is not in the store. */
export class FileMissing extends Error {}

/** The store did not do what it was asked; nothing the client sent is to blame. */
export function storeAway(): Problem {
  return new Problem(503, 'file-store-away', message('file-store-away'), [], { 'retry-after': '30' });
}

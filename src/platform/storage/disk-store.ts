import { mkdir, open, rename, rm, stat } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { Readable } from 'node:stream';
import { type ByteRange, FileMissing, FileStore } from './file-store.js';

/** Files in a directory, which several processes may share. */
export class DiskStore extends FileStore {
  /** @param directory must be on the same file system as the local files that are moved into it */
  constructor(private readonly directory: string) {
    super();
  }

  async take(key: string, localPath: string): Promise<void> {
    const path = join(this.directory, key);
    await mkdir(dirname(path), { recursive: true, mode: 0o700 });
    await rename(localPath, path);
    // The file's name is only durable once its directory is synced. Otherwise a power failure could
    // leave a row without its file.
    const directory = await open(dirname(path));
    try {
      await directory.sync();
    } finally {
      await directory.close();
    }
  }

  async open(key: string, range?: ByteRange): Promise<Readable> {
    try {
      const file = await open(join(this.directory, key));
      return file.createReadStream(range);
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') throw new FileMissing(key);
      throw error;
    }
  }

  async remove(key: string): Promise<void> {
    await rm(join(this.directory, key), { force: true });
  }

  async reaches(folder: string): Promise<boolean> {
    const found = await stat(join(this.directory, folder)).catch(() => null);
    return found?.isDirectory() ?? false;
  }
}

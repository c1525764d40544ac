import { Injectable, Logger, type OnApplicationBootstrap, type OnApplicationShutdown } from '@nestjs/common';
import { randomUUID } from 'node:crypto';
import { mkdir, readdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { Config } from '../config/config.js';

/** No upload takes this long. Older files were left behind by a process that died. */
const STALE_MS = 3_600_000;
const LOOK_EVERY_MS = 3_600_000;

/** The directory where uploads are written until they are complete. */
@Injectable()
export class IncomingFiles implements OnApplicationBootstrap, OnApplicationShutdown {
  private readonly logger = new Logger('attachments');
  private readonly directory: string;
  private timer: NodeJS.Timeout | undefined;

  constructor(config: Config) {
    this.directory = join(config.attachments.directory, 'incoming');
  }

  onApplicationBootstrap(): void {
    const look = (): void => {
      this.sweep().catch((error: unknown) =>
        this.logger.warn(`could not sweep ${this.directory}: ${String(error)}`),
      );
    };
    this.timer = setInterval(look, LOOK_EVERY_MS).unref();
    look();
  }

  onApplicationShutdown(): void {
    clearInterval(this.timer);
  }

  /** Returns a path that no other upload uses. Creates the directory if needed. */
  async newPath(): Promise<string> {
    await mkdir(this.directory, { recursive: true, mode: 0o700 });
    return join(this.directory, `${randomUUID()}.part`);
  }

  /** Removes a file that is no longer needed. It may be missing. */
  async discard(path: string): Promise<void> {
    await rm(path, { force: true });
  }

  /**
   * Removes the unfinished uploads of processes that died. Several processes may share the
   * directory.
   */
  async sweep(): Promise<void> {
    const names = await readdir(this.directory).catch((error: NodeJS.ErrnoException) => {
      if (error.code === 'ENOENT') return [];
      throw error;
    });
    for (const name of names.filter((each) => each.endsWith('.part'))) {
      const path = join(this.directory, name);
      const found = await stat(path).catch(() => null);
      // Uses the machine's clock, because the file system's times come from it.
      if (found && Date.now() - found.mtimeMs > STALE_MS) await this.discard(path);
    }
  }
}

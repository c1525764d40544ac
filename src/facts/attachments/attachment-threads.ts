import { Injectable, type OnApplicationShutdown } from '@nestjs/common';
import { Piscina } from 'piscina';
import { threadFile } from '../../platform/concurrency/thread-file.js';
import type { Cleaned, Cleaning, FoundType } from './attachment-thread.js';

/** Generous: a picture of 10 MB takes a tenth of a second. */
const LONGEST_MS = 30_000;
const THREADS = 2;
/** A thread ends after being idle for this long. */
const IDLE_MS = 60_000;
/** Enough, because the file itself is not on the heap. */
const HEAP_MB = 64;

/** Reading an attachment took longer than any attachment should. */
export class TooSlow extends Error {}

/**
 * The few threads in which attachments are parsed and cleaned, so that no file can block the
 * service.
 */
@Injectable()
export class AttachmentThreads implements OnApplicationShutdown {
  private readonly pool = new Piscina({
    filename: threadFile(import.meta.url, './attachment-thread.js'),
    minThreads: 0,
    maxThreads: THREADS,
    idleTimeout: IDLE_MS,
    resourceLimits: { maxOldGenerationSizeMb: HEAP_MB },
  });

  /**
   * Recognises the type of a file by its first bytes.
   *
   * @throws TooSlow
   */
  typeOf(head: Buffer): Promise<FoundType> {
    return this.run('typeOf', head);
  }

  /**
   * Writes the cleaned copy of a received file.
   *
   * @throws TooSlow
   */
  clean(cleaning: Cleaning): Promise<Cleaned> {
    return this.run('clean', cleaning);
  }

  async onApplicationShutdown(): Promise<void> {
    await this.pool.destroy();
  }

  private async run<T>(name: string, task: unknown): Promise<T> {
    const signal = AbortSignal.timeout(LONGEST_MS);
    try {
      return (await this.pool.run(task, { name, signal })) as T;
    } catch (error) {
      if (signal.aborted) throw new TooSlow();
      throw error;
    }
  }
}

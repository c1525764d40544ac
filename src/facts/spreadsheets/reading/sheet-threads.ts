import { Injectable, type OnApplicationShutdown } from '@nestjs/common';
import { Piscina } from 'piscina';
import type { SheetAnalysis } from '../../../domain/spreadsheets/analyse.js';
import { threadFile } from '../../../platform/concurrency/thread-file.js';
import { Problem, unacceptable } from '../../../platform/problems/problem.js';
import { message } from './messages.js';
import type { FileRead, Look, Reading } from './sheet-thread.js';

/** Generous: a file of 100,000 rows takes some seconds. */
const LONGEST_MS = 60_000;
const THREADS = 2;
/** How many files wait for a thread. */
const MOST_WAITING = 16;
/** A thread ends after being idle for this long. */
const IDLE_MS = 60_000;
const HEAP_MB = 768;

/** The few threads in which spreadsheets are read, so that no file can block the service. */
@Injectable()
export class SheetThreads implements OnApplicationShutdown {
  private readonly pool = new Piscina({
    filename: threadFile(import.meta.url, './sheet-thread.js'),
    minThreads: 0,
    maxThreads: THREADS,
    maxQueue: MOST_WAITING,
    idleTimeout: IDLE_MS,
    resourceLimits: { maxOldGenerationSizeMb: HEAP_MB },
  });

  /** @throws Problem 422 or 429 */
  read(reading: Reading): Promise<FileRead> {
    return this.run('read', reading);
  }

  /** @throws Problem 422 or 429 */
  look(look: Look): Promise<SheetAnalysis> {
    return this.run('look', look);
  }

  async onApplicationShutdown(): Promise<void> {
    await this.pool.destroy();
  }

  private async run<T>(name: string, task: unknown): Promise<T> {
    const signal = AbortSignal.timeout(LONGEST_MS);
    try {
      return (await this.pool.run(task, { name, signal })) as T;
    } catch (error) {
      // A file that needs more memory than a thread has ends the thread.
      if ((error as NodeJS.ErrnoException).code === 'ERR_WORKER_OUT_OF_MEMORY')
        throw unacceptable([{ pointer: '', detail: message('sheet-too-much-text') }]);
      const isFull = /queue/i.test((error as Error).message);
      if (!signal.aborted && !isFull) throw error;
      throw new Problem(429, 'too-many-uploads', message('sheet-read-too-slowly'), [], {
        'retry-after': '30',
      });
    }
  }
}

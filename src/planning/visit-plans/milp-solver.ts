import { Worker } from 'node:worker_threads';
import type { MilpModel } from '../../domain/visits/milp-model.js';
import type { Message } from '../../domain/message.js';
import { threadFile } from '../../platform/concurrency/thread-file.js';
import { message } from './messages.js';
import type { SolveLimits, SolverNews, SolverTask } from './milp-thread.js';

export interface Solved {
  /** Values of the model's columns; null when no solution was found. */
  values: Float64Array | null;
  /** Proven lower bound: no solution costs less. Null when the solver proved nothing. */
  bound: number | null;
  /** Why the solver stopped early. Null when it finished. */
  trouble: Message | null;
}

/** More than the solver needs to stop once its time limit is reached. */
const GRACE_SECONDS = 3;
/**
 * Heap limit of the thread, for the model and the messages. The solver's own memory is not part of
 * it.
 */
const THREAD_HEAP_MB = 256;

/**
 * Solves a MILP model in a thread, so the process stays responsive. The thread is terminated when
 * it exceeds its time or the signal aborts. Whatever the solver has found and proved by then is
 * kept.
 *
 * @param start values of a known solution
 */
export async function solveMilp(
  model: MilpModel,
  start: Float64Array,
  limits: SolveLimits,
  signal?: AbortSignal,
): Promise<Solved> {
  const { choices, openings: _openings, ...numbers } = model;
  if (choices.length === 0) return { values: new Float64Array(), bound: model.offset, trouble: null };
  const solved: Solved = { values: null, bound: null, trouble: null };
  const thread = new Worker(threadFile(import.meta.url, './milp-thread.js'), {
    workerData: { model: numbers, binaries: choices.length, start, limits } satisfies SolverTask,
    resourceLimits: { maxOldGenerationSizeMb: THREAD_HEAP_MB },
  });
  const end = (trouble: Message): void => {
    solved.trouble ??= trouble;
    void thread.terminate();
  };
  const overrun = setTimeout(end, (limits.seconds + GRACE_SECONDS) * 1000, message('solver-overran'));
  const abort = (): void => end(message('solver-service-stopping'));
  signal?.addEventListener('abort', abort);
  try {
    await untilExit(thread, solved);
  } finally {
    clearTimeout(overrun);
    signal?.removeEventListener('abort', abort);
  }
  return solved;
}

/** Collects the thread's messages until it has ended. */
function untilExit(thread: Worker, solved: Solved): Promise<void> {
  thread.on('message', (news: SolverNews) => {
    if (news.kind === 'bound') solved.bound = Math.max(solved.bound ?? -Infinity, news.bound);
    else if (news.kind === 'values') solved.values = news.values;
    else solved.trouble ??= news.trouble;
  });
  thread.on('error', (error) => {
    const report = error instanceof Error ? error.message : String(error);
    solved.trouble ??= message('solver-broke-down', { report });
  });
  return new Promise((resolve) => thread.on('exit', () => resolve()));
}

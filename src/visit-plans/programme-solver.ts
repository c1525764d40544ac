import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import type { MilpModel } from '../domain/visits/milp-model.js';

/** How far a programme may be solved. */
export interface SolveLimits {
  seconds: number;
  /** It is good enough when its cost is proved to be within this share of the least. */
  gap: number;
  /** What the solver may hold, in MB; beyond it, it gives up. */
  memoryMb: number;
}

export interface Solved {
  /** Of the programme's columns; null where no solution was found. */
  values: Float64Array | null;
  /** No solution costs less: proved by the solver. Null where it proved nothing. */
  bound: number | null;
  /** Why it did not end by itself; null where it did. */
  trouble: string | null;
}

type Told =
  | { kind: 'bound'; bound: number }
  | { kind: 'values'; values: Float64Array }
  | { kind: 'trouble'; trouble: string };

interface ThreadInput {
  highsUrl: string;
  programme: Omit<MilpModel, 'choices' | 'openings'>;
  binaries: number;
  start: Float64Array;
  limits: SolveLimits;
}

/** More than the solver needs to come to its end once its time is over. */
const GRACE_SECONDS = 3;
/** For the programme itself and what is told of it. */
const THREAD_HEAP_MB = 256;

/**
 * Solves a programme in a thread of its own, so that the rest of the process goes on meanwhile. What the solver has found and proved is kept
 * whatever becomes of it: the thread is ended when it overruns its time, and when the signal says so.
 *
 * @param start values of a solution that is known
 */
export async function solveProgramme(
  programme: MilpModel,
  start: Float64Array,
  limits: SolveLimits,
  signal?: AbortSignal,
): Promise<Solved> {
  const { choices, openings: _openings, ...numbers } = programme;
  if (choices.length === 0) return { values: new Float64Array(), bound: programme.offset, trouble: null };
  const highsUrl = pathToFileURL(createRequire(import.meta.url).resolve('highs')).href;
  const input: ThreadInput = { highsUrl, programme: numbers, binaries: choices.length, start, limits };
  const solved: Solved = { values: null, bound: null, trouble: null };
  const thread = new Worker(`(${inThread.toString()})()`, {
    eval: true,
    workerData: input,
    resourceLimits: { maxOldGenerationSizeMb: THREAD_HEAP_MB },
  });
  const overrun = setTimeout(() => end('it overran its time'), (limits.seconds + GRACE_SECONDS) * 1000);
  function end(trouble: string): void {
    solved.trouble ??= trouble;
    void thread.terminate();
  }
  const abort = (): void => end('the service is stopping');
  signal?.addEventListener('abort', abort);
  try {
    await new Promise<void>((resolve) => {
      thread.on('message', (told: Told) => {
        if (told.kind === 'bound') solved.bound = Math.max(solved.bound ?? -Infinity, told.bound);
        else if (told.kind === 'values') solved.values = told.values;
        else solved.trouble ??= told.trouble;
      });
      thread.on('error', (error) => {
        solved.trouble ??= error instanceof Error ? error.message : String(error);
      });
      thread.on('exit', () => resolve());
    });
  } finally {
    clearTimeout(overrun);
    signal?.removeEventListener('abort', abort);
  }
  return solved;
}

/** What the thread does. It is handed over as text, so nothing that stands outside it is known in it. */
async function inThread(): Promise<void> {
  const { parentPort, workerData } = await import('node:worker_threads');
  const { highsUrl, programme, binaries, start, limits } = workerData as ThreadInput;
  // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a thread has no origin
  const tell = (told: Told): void => parentPort?.postMessage(told);
  // The solver grows its memory as it likes, up to 2 GB; refused, it gives up as if there were no more.
  interface Growing {
    readonly buffer: ArrayBuffer;
    grow(pages: number): number;
  }
  const memory = (globalThis as unknown as { WebAssembly: { Memory: { prototype: Growing } } }).WebAssembly
    .Memory.prototype;
  const growAsBefore = Object.getOwnPropertyDescriptor(memory, 'grow')?.value as Growing['grow'];
  memory.grow = function growWithin(this: Growing, pages) {
    if (this.buffer.byteLength + pages * 65_536 > limits.memoryMb * 1_048_576)
      throw new RangeError(`the solver would need more than ${limits.memoryMb} MB`);
    return growAsBefore.call(this, pages);
  };
  try {
    const { default: loadHighs } = (await import(highsUrl)) as typeof import('highs');
    const highs = await loadHighs();
    const { callbackType, modelStatus, variableType } = highs.constants;
    const model = highs.createModel();
    const numCols = programme.costs.length;
    model.options.set({
      output_flag: false,
      time_limit: limits.seconds,
      mip_rel_gap: limits.gap,
      // A share of the work that goes to looking for plans, where the solver would rather prove; it needs good ones in a minute.
      mip_heuristic_effort: 0.3,
      // Feasible means feasible: a day is not overfilled by what a larger tolerance would let through.
      mip_feasibility_tolerance: 1e-9,
    });
    model.passModel({
      numCols,
      numRows: programme.atMost.length,
      offset: programme.offset,
      colCost: programme.costs,
      colLower: new Float64Array(numCols),
      colUpper: new Float64Array(numCols).fill(1),
      rowLower: programme.atLeast.map((value) => (value === -Infinity ? -highs.infinity : value)),
      rowUpper: programme.atMost,
      matrix: {
        format: 'csr',
        numRows: programme.atMost.length,
        numCols,
        starts: programme.starts,
        indices: programme.indices,
        values: programme.values,
      },
      integrality: Int32Array.from({ length: numCols }, (_, column) =>
        column < binaries ? variableType.integer : variableType.continuous,
      ),
    });
    model.setSolution({ colValue: start });
    const { modelStatus: status } = model.run({
      [callbackType.mipImprovingSolution]({ data }) {
        if (data.mip_solution) tell({ kind: 'values', values: data.mip_solution });
      },
      [callbackType.mipLogging]({ data }) {
        if (data.mip_dual_bound !== undefined && Number.isFinite(data.mip_dual_bound))
          tell({ kind: 'bound', bound: data.mip_dual_bound });
      },
    });
    const found = model.info.get('primal_solution_status');
    if (Number(found) === highs.constants.solutionStatus.feasible)
      tell({ kind: 'values', values: model.getSolution().colValue });
    const bound = Number(model.info.get('mip_dual_bound'));
    if (Number.isFinite(bound) && Math.abs(bound) < 1e15) tell({ kind: 'bound', bound });
    if (status !== modelStatus.optimal)
      tell({
        kind: 'trouble',
        trouble: status === modelStatus.timeLimit ? 'its time was over' : `it ended with status ${status}`,
      });
    model.dispose();
  } catch (error) {
    tell({ kind: 'trouble', trouble: error instanceof Error ? error.message : String(error) });
  }
}

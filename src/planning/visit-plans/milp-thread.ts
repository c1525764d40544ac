/** The thread that `milp-solver.ts` starts. It runs the HiGHS solver on one model, then ends. */
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';
import highsModule from 'highs';
import type { Highs, InitOptions } from 'highs';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { parentPort, workerData } from 'node:worker_threads';
import type { MilpModel } from '../../domain/visits/milp-model.js';

/** Limits for solving a model. */
export interface SolveLimits {
  seconds: number;
  /** The solver stops when the cost is proved to be within this share of the minimum. */
  gap: number;
  /** Memory for the solver, in MB. The solver gives up when it needs more. */
  memoryMb: number;
}

export interface SolverTask {
  model: Omit<MilpModel, 'choices' | 'openings'>;
  /** This many columns, from the first on, are binary (0 or 1). */
  binaries: number;
  start: Float64Array;
  limits: SolveLimits;
}

export type SolverNews =
  | { kind: 'bound'; bound: number }
  | { kind: 'values'; values: Float64Array }
  | { kind: 'trouble'; trouble: Message };

// oxlint-disable-next-line unicorn/require-post-message-target-origin -- a thread has no origin
const tell = (news: SolverNews): void => parentPort?.postMessage(news);

const MB = 1024 * 1024;
const BYTES_PER_PAGE = 64 * 1024;

/** The members of WebAssembly used here; Node's types leave them out. */
interface Memory {
  readonly buffer: ArrayBuffer;
  grow(pages: number): number;
}
interface Instance {
  readonly exports: Record<string, unknown>;
}
const { WebAssembly } = globalThis as unknown as {
  WebAssembly: {
    Memory: new (limits: object) => Memory;
    Module: new (code: Uint8Array) => object;
    Instance: new (module: object, imports: object) => Instance;
  };
};

/**
 * Limits the solver's memory to `memoryMb`. When it is refused more, the solver gives up as if the
 * machine had none left.
 *
 * The resource limits of a thread cover its heap, but not the memory of WebAssembly, which HiGHS
 * grows up to 2 GB. So we instantiate its module ourselves, through the hook that Emscripten offers
 * for that, and make its memory refuse to grow further.
 */
function withinMemory(memoryMb: number): InitOptions {
  const code = readFileSync(createRequire(import.meta.url).resolve('highs/runtime'));
  const hook = {
    instantiateWasm(imports: object, receive: (instance: Instance) => void): void {
      const instance = new WebAssembly.Instance(new WebAssembly.Module(code), imports);
      for (const part of Object.values(instance.exports))
        if (part instanceof WebAssembly.Memory) refuseBeyond(part, memoryMb);
      receive(instance);
    },
  };
  return hook as InitOptions;
}

function refuseBeyond(memory: Memory, memoryMb: number): void {
  const grow = memory.grow.bind(memory);
  memory.grow = (pages) => {
    if (memory.buffer.byteLength + pages * BYTES_PER_PAGE > memoryMb * MB)
      throw new RangeError(`the solver would need more than ${memoryMb} MB`);
    return grow(pages);
  };
}

/** The package's types describe its CommonJS build, but its ESM build is what gets imported. */
const loadHighs = highsModule as unknown as typeof highsModule.default;

type Model = ReturnType<Highs['createModel']>;

/** Passes the model and a known solution to the solver. */
function pass(highs: Highs, solver: Model, { model, binaries, start }: SolverTask): void {
  const [numCols, numRows] = [model.costs.length, model.atMost.length];
  const { integer, continuous } = highs.constants.variableType;
  solver.passModel({
    numCols,
    numRows,
    offset: model.offset,
    colCost: model.costs,
    colLower: new Float64Array(numCols),
    colUpper: new Float64Array(numCols).fill(1),
    rowLower: model.atLeast.map((value) => (value === -Infinity ? -highs.infinity : value)),
    rowUpper: model.atMost,
    matrix: {
      ...{ format: 'csr', numRows, numCols },
      ...{ starts: model.starts, indices: model.indices, values: model.values },
    },
    integrality: Int32Array.from({ length: numCols }, (_, column) =>
      column < binaries ? integer : continuous,
    ),
  });
  solver.setSolution({ colValue: start });
}

/**
 * Runs the solver and reports every better solution and bound. @returns why it stopped early, or
 * null
 */
function run(highs: Highs, solver: Model): Message | null {
  const { callbackType, modelStatus, solutionStatus } = highs.constants;
  const { modelStatus: status } = solver.run({
    [callbackType.mipImprovingSolution]({ data }) {
      if (data.mip_solution) tell({ kind: 'values', values: data.mip_solution });
    },
    [callbackType.mipLogging]({ data }) {
      if (data.mip_dual_bound !== undefined && Number.isFinite(data.mip_dual_bound))
        tell({ kind: 'bound', bound: data.mip_dual_bound });
    },
  });
  if (Number(solver.info.get('primal_solution_status')) === solutionStatus.feasible)
    tell({ kind: 'values', values: solver.getSolution().colValue });
  const bound = Number(solver.info.get('mip_dual_bound'));
  if (Number.isFinite(bound) && Math.abs(bound) < 1e15) tell({ kind: 'bound', bound });
  if (status === modelStatus.optimal) return null;
  return status === modelStatus.timeLimit
    ? message('solver-time-over')
    : message('solver-stopped-at', { status: String(status) });
}

async function solve(task: SolverTask): Promise<void> {
  const { seconds, gap, memoryMb } = task.limits;
  const highs = await loadHighs(withinMemory(memoryMb));
  const solver = highs.createModel();
  solver.options.set({
    output_flag: false,
    time_limit: seconds,
    mip_rel_gap: gap,
    // The share of effort spent on finding solutions. By default, the solver would rather prove
    // bounds, but it has to find good plans within a minute.
    mip_heuristic_effort: 0.3,
    // Keep feasibility strict: a larger tolerance would let a day be overfilled.
    mip_feasibility_tolerance: 1e-9,
  });
  pass(highs, solver, task);
  const trouble = run(highs, solver);
  if (trouble !== null) tell({ kind: 'trouble', trouble });
  solver.dispose();
}

try {
  await solve(workerData as SolverTask);
} catch (error) {
  const report = error instanceof Error ? error.message : String(error);
  tell({ kind: 'trouble', trouble: message('solver-broke-down', { report }) });
}

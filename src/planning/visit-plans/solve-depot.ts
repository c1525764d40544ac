import { gapOf } from '../../domain/visits/gap.js';
import { filledPlan, greedySteps, improvedSteps } from '../../domain/visits/greedy-plan.js';
import { pricedSteps } from '../../domain/visits/priced-plan.js';
import { assignmentOf, type MilpModel, milpModelOf, valuesOf } from '../../domain/visits/milp-model.js';
import type { Assignment, VisitProblem } from '../../domain/visits/types.js';
import { assignmentCost, isFeasible } from '../../domain/visits/visit-cost.js';
import type { Message } from '../../domain/message.js';
import type { PlanMaker } from '../../entities/visit-plan.entity.js';
import { message } from './messages.js';
import { type Solved, solveMilp } from './milp-solver.js';
import type { SolveLimits } from './milp-thread.js';

/** How long to work before other tasks get a turn. */
const TURN_MS = 10;
/** With more choices of visit and day than this, the solver would not finish in its time. */
const MOST_CHOICES = 250_000;
/** The largest share of the time for each of the plans that the solver starts from. */
const START_SHARE = 0.15;

export interface DepotPlan {
  assignment: Assignment;
  by: PlanMaker;
  cost: number;
  /** Proven lower bound: no plan costs less. */
  bound: number;
  gap: number | null;
  /** Why the solver stopped early. */
  note: Message | null;
}

/**
 * Solves the problem of one depot. Planning by prices comes first: it is quick and usually good
 * enough. If not, a greedy plan is made as well, which is always feasible, and the solver starts
 * from the cheaper of the two. The cheapest plan is returned, with the best bound that was proved.
 */
export async function solveDepot(
  problem: VisitProblem,
  limits: SolveLimits,
  signal: AbortSignal,
): Promise<DepotPlan> {
  const began = performance.now();
  const untilShare = (share: number): number => began + limits.seconds * START_SHARE * share * 1000;
  const priced = await inTurns(pricedSteps(problem), untilShare(1), ({ assignment }) => assignment !== null);
  const { bound } = priced;
  const planOf = (found: Assignment, by: PlanMaker): DepotPlan => {
    const assignment = filledPlan(problem, found);
    const cost = assignmentCost(problem, assignment).total;
    return { assignment, by, cost, bound, gap: gapOf(cost, bound), note: null };
  };
  const isEnough = ({ gap }: DepotPlan): boolean => gap !== null && gap <= limits.gap;
  const isAny = (plan: Assignment): boolean => plan.size > 0;
  let start: DepotPlan | null = null;
  if (priced.assignment) {
    start = planOf(priced.assignment, 'prices');
    if (isEnough(start)) return start;
    start = planOf(await inTurns(improvedSteps(problem, priced.assignment), untilShare(2), isAny), 'prices');
    if (isEnough(start)) return start;
  }
  const greedy = planOf(await inTurns(greedySteps(problem), untilShare(3), isAny), 'greedy');
  const known = start !== null && start.cost <= greedy.cost ? start : greedy;
  if (isEnough(known)) return known;
  const seconds = Math.max(1, limits.seconds - (performance.now() - began) / 1000);
  const solved = await solveFrom(problem, known.assignment, { ...limits, seconds }, signal);
  const isCheaper = solved.assignment !== null && solved.cost < known.cost;
  const best = isCheaper && solved.assignment ? planOf(solved.assignment, 'solver') : known;
  const proved = Math.max(bound, solved.bound ?? 0);
  return { ...best, bound: proved, gap: gapOf(best.cost, proved), note: solved.trouble };
}

interface Found {
  assignment: Assignment | null;
  cost: number;
  bound: number | null;
  trouble: Message | null;
}

/**
 * Runs the solver and checks its result like any other plan: it must be feasible, and its cost is
 * computed by the same function.
 */
async function solveFrom(
  problem: VisitProblem,
  greedy: Assignment,
  limits: SolveLimits,
  signal: AbortSignal,
): Promise<Found> {
  const programme: MilpModel = milpModelOf(problem);
  if (programme.choices.length > MOST_CHOICES)
    return {
      assignment: null,
      cost: Infinity,
      bound: null,
      trouble: message('solver-too-many-choices'),
    };
  const { values, bound, trouble }: Solved = await solveMilp(
    programme,
    valuesOf(programme, greedy),
    limits,
    signal,
  );
  const assignment = values && assignmentOf(problem, programme, values);
  if (assignment === null || !isFeasible(problem, assignment))
    return { assignment: null, cost: Infinity, bound, trouble: trouble ?? message('solver-found-nothing') };
  return { assignment, cost: assignmentCost(problem, assignment).total, bound, trouble };
}

const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/**
 * Runs the steps, with pauses for other tasks. Once the time is up, stops as soon as the result is
 * good enough.
 */
async function inTurns<T>(steps: Generator<T, T>, until: number, willDo: (value: T) => boolean): Promise<T> {
  let began = performance.now();
  for (;;) {
    const { done, value } = steps.next();
    const now = performance.now();
    if (done || (now > until && willDo(value))) return value;
    if (now - began < TURN_MS) continue;
    await turn();
    began = performance.now();
  }
}

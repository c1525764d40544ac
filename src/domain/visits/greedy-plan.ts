import { visitHours } from './labour-hours.js';
import { assignmentCost, HOURS_ROUNDING, hoursFree, visitCost } from './visit-cost.js';
import type { Assignment, LineToPlan, VisitProblem } from './types.js';

const MOST_PASSES = 8;
/** Less than this is no gain: without it two equal days could take turns for ever. */
const LEAST_GAIN = 1e-6;

/** The lines of one vehicle by day, and the hours taken on each day. */
interface Draft {
  visits: Map<string, LineToPlan[]>;
  hours: Map<number, number>;
  dayOf: Map<string, number | null>;
  /** Reckoned for each hour on a planned day besides its rate. */
  hourPrice: number;
}

/**
 * What an hour of labour is reckoned to be worth besides its rate, as a share of that rate, while lines are placed. Where hours are scarce,
 * visits that share what opens the way must come before those that do not, and no price is right for all problems.
 */
const SCARCITY = [0, 0.5, 1.5, 4];

/**
 * A plan that is always feasible and never far to seek: line by line, most urgent first, each where it adds least, then each taken
 * out and put where it adds least again, until nothing gains. Leaving a line out is always open, so there is always an answer. It is
 * tried with hours of several prices, and the cheapest plan is kept.
 *
 * @example greedyPlan({ lines: [], … }) // an empty map
 */
export function greedyPlan(problem: VisitProblem): Assignment {
  const steps = greedySteps(problem);
  for (;;) {
    const { done, value } = steps.next();
    if (done) return value;
  }
}

/** The same step by step, for a caller who has other things to do in between. */
export function* greedySteps(problem: VisitProblem): Generator<undefined, Assignment> {
  let best: Assignment = new Map();
  let least = Infinity;
  for (const share of SCARCITY) {
    const draft = yield* draftSteps(problem, share * problem.rates.labourPerHour);
    const { total } = assignmentCost(problem, draft.dayOf);
    if (total >= least) continue;
    [best, least] = [draft.dayOf, total];
  }
  return best;
}

/** One plan, by one price of an hour to begin with; in the end what hours cost is counted as it is, for some may be left over. */
function* draftSteps(problem: VisitProblem, hourPrice: number): Generator<undefined, Draft> {
  const draft: Draft = { visits: new Map(), hours: new Map(), dayOf: new Map(), hourPrice };
  for (const line of problem.lines) if (line.fixedOn !== null) put(draft, line, line.fixedOn);
  const order = problem.lines.filter(({ fixedOn }) => fixedOn === null).toSorted(byUrgency);
  for (const line of order) {
    put(draft, line, bestDay(problem, draft, line).day);
    yield;
  }
  yield* improvingSteps(problem, draft, order);
  if (hourPrice === 0) return draft;
  draft.hourPrice = 0;
  yield* improvingSteps(problem, draft, order);
  return draft;
}

function* improvingSteps(
  problem: VisitProblem,
  draft: Draft,
  order: readonly LineToPlan[],
): Generator<undefined, void> {
  const vehicles = groups(order, ({ vehicleId }) => vehicleId);
  for (let pass = 0; pass < MOST_PASSES; pass++) {
    let gains = 0;
    for (const line of order) {
      if (moves(problem, draft, line)) gains++;
      yield;
    }
    for (const lines of vehicles) {
      if (moveTogether(problem, draft, lines)) gains++;
      yield;
    }
    if (gains === 0) return;
  }
}

function byUrgency(a: LineToPlan, b: LineToPlan): number {
  const lateOn = (line: LineToPlan): number => line.lateOn ?? Number.MAX_SAFE_INTEGER;
  return lateOn(a) - lateOn(b) || a.dueOn - b.dueOn || (a.id < b.id ? -1 : 1);
}

/** Lines of one vehicle that could come in on one day do so where that costs less: all of them, or those of one visit. */
function moveTogether(problem: VisitProblem, draft: Draft, lines: readonly LineToPlan[]): boolean {
  const visits = groups(lines, ({ id }) => draft.dayOf.get(id) ?? null);
  const candidates = [lines, ...visits].filter((group) => group.length > 1);
  return candidates.some((group) => problem.days.some((day) => gathers(problem, draft, group, day)));
}

function gathers(problem: VisitProblem, draft: Draft, lines: readonly LineToPlan[], day: number): boolean {
  const moved = lines.filter((line) => line.windowOpensOn <= day);
  const before = moved.map((line) => draft.dayOf.get(line.id) ?? null);
  let gain = 0;
  moved.forEach((line, i) => {
    takeOut(draft, line, before[i] ?? null);
    gain += addedCost(problem, draft, line, before[i] ?? null);
  });
  for (const line of moved) {
    gain -= addedCost(problem, draft, line, day);
    put(draft, line, day);
  }
  const fits = (draft.hours.get(day) ?? 0) <= hoursFree(problem, day) + HOURS_ROUNDING;
  if (fits && gain > LEAST_GAIN) return true;
  for (const line of moved) takeOut(draft, line, day);
  moved.forEach((line, i) => put(draft, line, before[i] ?? null));
  return false;
}

function moves(problem: VisitProblem, draft: Draft, line: LineToPlan): boolean {
  const before = draft.dayOf.get(line.id) ?? null;
  takeOut(draft, line, before);
  const best = bestDay(problem, draft, line);
  const gain = addedCost(problem, draft, line, before) - best.cost;
  put(draft, line, gain > LEAST_GAIN ? best.day : before);
  return gain > LEAST_GAIN;
}

function bestDay(
  problem: VisitProblem,
  draft: Draft,
  line: LineToPlan,
): { day: number | null; cost: number } {
  let best: { day: number | null; cost: number } = {
    day: null,
    cost: addedCost(problem, draft, line, null),
  };
  for (const day of problem.days) {
    if (day < line.windowOpensOn || !hasRoom(problem, draft, line, day)) continue;
    const cost = addedCost(problem, draft, line, day);
    if (cost < best.cost || (best.day === null && cost <= best.cost)) best = { day, cost };
  }
  return best;
}

function hasRoom(problem: VisitProblem, draft: Draft, line: LineToPlan, day: number): boolean {
  const there = linesOn(draft, line, day);
  const added = visitHours([...there, line]) - visitHours(there);
  return (draft.hours.get(day) ?? 0) + added <= hoursFree(problem, day) + HOURS_ROUNDING;
}

function addedCost(problem: VisitProblem, draft: Draft, line: LineToPlan, day: number | null): number {
  if (day === null) return visitCost([line], problem.dayAfter, problem.rates).total;
  const there = linesOn(draft, line, day);
  const { total } = visitCost([...there, line], day, problem.rates);
  const priced =
    draft.hourPrice === 0 ? 0 : draft.hourPrice * (visitHours([...there, line]) - visitHours(there));
  return total - visitCost(there, day, problem.rates).total + priced;
}

function linesOn(draft: Draft, line: LineToPlan, day: number): LineToPlan[] {
  return draft.visits.get(`${day} ${line.vehicleId}`) ?? [];
}

function put(draft: Draft, line: LineToPlan, day: number | null): void {
  draft.dayOf.set(line.id, day);
  if (day !== null) setLines(draft, line, day, [...linesOn(draft, line, day), line]);
}

function takeOut(draft: Draft, line: LineToPlan, day: number | null): void {
  if (day === null) return;
  const left = linesOn(draft, line, day).filter(({ id }) => id !== line.id);
  setLines(draft, line, day, left);
}

function setLines(draft: Draft, line: LineToPlan, day: number, lines: LineToPlan[]): void {
  const change = visitHours(lines) - visitHours(linesOn(draft, line, day));
  draft.hours.set(day, (draft.hours.get(day) ?? 0) + change);
  draft.visits.set(`${day} ${line.vehicleId}`, lines);
}

function groups<K>(lines: readonly LineToPlan[], keyOf: (line: LineToPlan) => K): LineToPlan[][] {
  const found = new Map<K, LineToPlan[]>();
  for (const line of lines) found.set(keyOf(line), [...(found.get(keyOf(line)) ?? []), line]);
  return [...found.values()];
}

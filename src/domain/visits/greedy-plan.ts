import { visitHours } from './labour-hours.js';
import type { Assignment, LineToPlan, VisitProblem } from './types.js';
import { HOURS_ROUNDING, hoursFree, visitCost } from './visit-cost.js';

const MOST_PASSES = 8;
/** Less than this is no gain: without it two equal days could take turns for ever. */
const LEAST_GAIN = 1e-6;

/** The lines of one vehicle by day, and the hours taken on each day. */
interface Draft {
  visits: Map<string, LineToPlan[]>;
  hours: Map<number, number>;
  dayOf: Map<string, number | null>;
}

/**
 * A plan that is always feasible and quick to find. Lines are placed one by one, most urgent first,
 * each where it adds least. Then each is taken out and placed again where it adds least, until
 * nothing improves. A line may always be left out, so there is always an answer.
 *
 * It runs step by step, so the caller can do other things in between. Each step returns the plan so
 * far, which is empty until every line has its place.
 *
 * @example greedySteps({ lines: [], … }).next() // done, with an empty map
 */
export function* greedySteps(problem: VisitProblem): Generator<Assignment, Assignment> {
  const draft: Draft = { visits: new Map(), hours: new Map(), dayOf: new Map() };
  for (const line of problem.lines) if (line.fixedOn !== null) put(draft, line, line.fixedOn);
  for (const line of freeLines(problem)) {
    put(draft, line, bestDay(problem, draft, line).day);
    yield new Map();
  }
  return yield* improvingSteps(problem, draft);
}

/**
 * A plan made better by moving single lines, and lines of one vehicle together, until nothing
 * gains; step by step.
 */
export function improvedSteps(problem: VisitProblem, plan: Assignment): Generator<Assignment, Assignment> {
  const draft: Draft = { visits: new Map(), hours: new Map(), dayOf: new Map() };
  for (const line of problem.lines) put(draft, line, plan.get(line.id) ?? null);
  return improvingSteps(problem, draft);
}

/**
 * The plan with those lines in it, too, that it leaves out although they would cost no more in it.
 */
export function filledPlan(problem: VisitProblem, plan: Assignment): Assignment {
  const draft: Draft = { visits: new Map(), hours: new Map(), dayOf: new Map() };
  for (const line of problem.lines) put(draft, line, plan.get(line.id) ?? null);
  for (const line of freeLines(problem))
    if (draft.dayOf.get(line.id) === null) put(draft, line, bestDay(problem, draft, line).day);
  return draft.dayOf;
}

function freeLines({ lines }: VisitProblem): LineToPlan[] {
  return lines.filter(({ fixedOn }) => fixedOn === null).toSorted(byUrgency);
}

/** At each step every line has its place, so that it may be stopped at any. */
function* improvingSteps(problem: VisitProblem, draft: Draft): Generator<Assignment, Assignment> {
  const order = freeLines(problem);
  const vehicles = groups(order, ({ vehicleId }) => vehicleId);
  for (let pass = 0; pass < MOST_PASSES; pass++) {
    let gains = 0;
    for (const line of order) {
      if (moves(problem, draft, line)) gains++;
      yield draft.dayOf;
    }
    for (const lines of vehicles) {
      if (moveTogether(problem, draft, lines)) gains++;
      yield draft.dayOf;
    }
    if (gains === 0) break;
  }
  return draft.dayOf;
}

function byUrgency(a: LineToPlan, b: LineToPlan): number {
  const lateOn = (line: LineToPlan): number => line.lateOn ?? Number.MAX_SAFE_INTEGER;
  return lateOn(a) - lateOn(b) || a.dueOn - b.dueOn || (a.id < b.id ? -1 : 1);
}

/**
 * Lines of one vehicle that could come in on one day do so where that costs less: all of them, or
 * those of one visit.
 */
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
    // Where it makes no difference the line is not left for later.
    if (cost < best.cost || (best.day === null && cost <= best.cost + LEAST_GAIN)) best = { day, cost };
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
  return visitCost([...there, line], day, problem.rates).total - visitCost(there, day, problem.rates).total;
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

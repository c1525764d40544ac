import type { Assignment, VisitProblem } from './types.js';
import {
  byVehicle,
  cheapestVisits,
  type Part,
  type VehicleVisits,
  visitsOfVehicle,
} from './vehicle-visits.js';
import { assignmentCost, hoursFree, isFeasible } from './visit-cost.js';

const ROUNDS = 200;
/** So often the prices are made a plan of: it takes as long as a round. */
const PLAN_EVERY = 5;
/** Rounds without a better bound after which the steps are halved. */
const PATIENCE = 8;

export interface PricedPlan {
  /** Null until there is one. */
  assignment: Assignment | null;
  cost: number;
  /** No plan costs less; 0 proves nothing. */
  bound: number;
}

/**
 * A plan by prices. Each day has a price for an hour of labour. It rises if more work would come in
 * than there are hours, and falls if less would; in each round every vehicle comes in as is
 * cheapest for it.
 *
 * What all vehicles then pay, minus the price of the available hours, is at most the cost of any
 * plan, and so proves how good a plan is. Source: Lagrange relaxation with subgradient steps (Held,
 * Wolfe & Crowder, Validation of subgradient optimization, Mathematical Programming 6, 1974; from
 * memory, checked by brute force on small problems).
 *
 * Each step tells the best so far, for a caller who has other things to do in between.
 */
export function* pricedSteps(problem: VisitProblem): Generator<PricedPlan, PricedPlan> {
  const best: PricedPlan = { assignment: null, cost: Infinity, bound: 0 };
  const vehicles: VehicleVisits[] = [];
  for (const lines of byVehicle(problem.lines)) {
    vehicles.push(...visitsOfVehicle(problem, lines));
    yield best;
  }
  const free = problem.days.map((day) => hoursFree(problem, day));
  const prices = problem.days.map(() => 0);
  let step = 1;
  let sinceBetter = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const { paid, used } = yield* roundOf(vehicles, prices, best);
    const bound = paid - prices.reduce((sum, price, i) => sum + price * (free[i] ?? 0), 0);
    if (bound > best.bound * (1 + 1e-6)) [best.bound, sinceBetter] = [bound, 0];
    else if (++sinceBetter >= PATIENCE) [step, sinceBetter] = [step / 2, 0];
    if (round % PLAN_EVERY === 0) yield* planBy(problem, vehicles, prices, free, best);
    const slopes = used.map((hours, i) => {
      const slope = hours - (free[i] ?? 0);
      return slope < 0 && prices[i] === 0 ? 0 : slope;
    });
    const length = slopes.reduce((sum, slope) => sum + slope * slope, 0);
    const target = Number.isFinite(best.cost) ? best.cost : bound * 1.1;
    if (length === 0 || target - bound <= 1e-6 * target) break;
    slopes.forEach((slope, i) => {
      prices[i] = Math.max(0, (prices[i] ?? 0) + (step * (target - bound) * slope) / length);
    });
  }
  return best;
}

/** What the vehicles pay at these prices, and the hours they would take. */
function* roundOf(
  vehicles: readonly VehicleVisits[],
  prices: readonly number[],
  best: PricedPlan,
): Generator<PricedPlan, { paid: number; used: number[] }> {
  const used = prices.map(() => 0);
  let paid = 0;
  for (const vehicle of vehicles) {
    const { cost, parts } = cheapestVisits(vehicle, prices);
    paid += cost;
    for (const { mask, day } of parts)
      if (day >= 0) used[day] = (used[day] ?? 0) + (vehicle.groups[mask]?.hours ?? 0);
    yield best;
  }
  return { paid, used };
}

/**
 * A plan in which vehicles are placed one after the other, each where it is cheapest and hours are
 * left. The vehicle that saves most per hour is first.
 */
function* planBy(
  problem: VisitProblem,
  vehicles: readonly VehicleVisits[],
  prices: readonly number[],
  free: readonly number[],
  best: PricedPlan,
): Generator<PricedPlan, void> {
  const room = [...free];
  const assignment = new Map<string, number | null>(problem.lines.map(({ id }) => [id, null]));
  const order = vehicles
    .map((vehicle) => ({ vehicle, worth: worthOf(vehicle, prices) }))
    .sort((a, b) => b.worth - a.worth);
  for (const { vehicle } of order) {
    for (const part of cheapestVisits(vehicle, prices, room).parts)
      take(problem, vehicle, part, room, assignment);
    yield best;
  }
  if (!isFeasible(problem, assignment)) return;
  const { total } = assignmentCost(problem, assignment);
  if (total < best.cost) [best.assignment, best.cost] = [assignment, total];
}

function worthOf(vehicle: VehicleVisits, prices: readonly number[]): number {
  if (vehicle.lines.some(({ fixedOn }) => fixedOn !== null)) return Infinity;
  const { parts } = cheapestVisits(vehicle, prices);
  let saved = 0;
  let hours = 0;
  for (const { mask, day } of parts) {
    if (day < 0) continue;
    const group = vehicle.groups[mask];
    hours += group?.hours ?? 0;
    saved -= group?.costs[day] ?? 0;
    vehicle.leftOut.forEach((cost, bit) => {
      if ((mask & (1 << bit)) !== 0) saved += cost;
    });
  }
  return hours === 0 ? 0 : saved / hours;
}

function take(
  problem: VisitProblem,
  { groups, lines }: VehicleVisits,
  { mask, day }: Part,
  room: number[],
  assignment: Map<string, number | null>,
): void {
  const hours = groups[mask]?.hours ?? 0;
  const left = room[day];
  const on = problem.days[day];
  // Two visits of one vehicle may each have had room on a day that has it for one of them.
  if (left === undefined || on === undefined || hours > left) return;
  room[day] = left - hours;
  lines.forEach(({ id }, bit) => {
    if ((mask & (1 << bit)) !== 0) assignment.set(id, on);
  });
}

import { visitHours } from './labour-hours.js';
import type { LineToPlan, VisitProblem } from './types.js';
import { timingCost, visitCost } from './visit-cost.js';

/** Up to this many lines of one vehicle, all groupings are tried: 63 groups. */
const MOST_GROUPED = 6;

/**
 * Lines of one vehicle that come in together, and what that costs on each of the problem's days;
 * Infinity where it may not be.
 */
interface Group {
  hours: number;
  costs: Float64Array;
}

/** Every possible grouping of one vehicle's lines into visits. */
export interface VehicleVisits {
  lines: readonly LineToPlan[];
  /** By the lines that are in it, as bits; the first is empty. */
  groups: readonly Group[];
  /** What each line costs when it is left for later; Infinity where it may not be. */
  leftOut: readonly number[];
}

/** A group on a day, by the index of the day; -1: a line that is left for later. */
export interface Part {
  mask: number;
  day: number;
}

/**
 * Every possible visit for the lines of a vehicle. If it has too many lines to group, each line
 * counts by itself, without its access work. That is less than it costs, which is what a bound
 * needs.
 */
export function visitsOfVehicle(problem: VisitProblem, lines: readonly LineToPlan[]): VehicleVisits[] {
  if (lines.length > MOST_GROUPED) return lines.map((line) => bareLine(problem, line));
  const groups = Array.from({ length: 1 << lines.length }, (_, mask): Group => {
    const together = lines.filter((_line, bit) => (mask & (1 << bit)) !== 0);
    const costs = Float64Array.from(problem.days, (day) =>
      together.every((line) => mayBeOn(line, day)) ? visitCost(together, day, problem.rates).total : Infinity,
    );
    return { hours: visitHours(together), costs };
  });
  return [{ lines, groups, leftOut: lines.map((line) => costLeftOut(problem, line)) }];
}

function bareLine(problem: VisitProblem, line: LineToPlan): VehicleVisits {
  const { ownHours } = line.labour;
  const costs = Float64Array.from(problem.days, (day) => {
    if (!mayBeOn(line, day)) return Infinity;
    const { lateness, lifeThrownAway } = timingCost(line, day, problem.rates);
    return ownHours * problem.rates.labourPerHour + lateness + lifeThrownAway;
  });
  const nothing = { hours: 0, costs: new Float64Array(problem.days.length) };
  return {
    lines: [line],
    groups: [nothing, { hours: ownHours, costs }],
    leftOut: [costLeftOut(problem, line)],
  };
}

/**
 * The cheapest visits for a vehicle's lines if an hour has a price on each day.
 *
 * @param prices for an hour besides its rate, by the index of the day
 * @param room hours left, by the index of the day; null: unlimited
 */
export function cheapestVisits(
  { lines, groups, leftOut }: VehicleVisits,
  prices: ArrayLike<number>,
  room: ArrayLike<number> | null = null,
): { cost: number; parts: Part[] } {
  const cheapest = groups.map((group, mask) => cheapestDay(group, mask, leftOut, prices, room));
  const cost = [0];
  const lastPart = [0];
  for (let mask = 1; mask < groups.length; mask++) {
    const lowest = mask & -mask;
    let best = Infinity;
    let taken = lowest;
    // Each part that holds the lowest line comes in together, the rest as is cheapest for it.
    for (let part = mask; part > 0; part = (part - 1) & mask) {
      if ((part & lowest) === 0) continue;
      const total = (cheapest[part]?.cost ?? Infinity) + (cost[mask ^ part] ?? Infinity);
      if (total < best) [best, taken] = [total, part];
    }
    cost.push(best);
    lastPart.push(taken);
  }
  const parts: Part[] = [];
  for (let mask = (1 << lines.length) - 1; mask > 0; mask ^= lastPart[mask] ?? mask) {
    const part = lastPart[mask] ?? mask;
    parts.push({ mask: part, day: cheapest[part]?.day ?? -1 });
  }
  return { cost: cost.at(-1) ?? 0, parts };
}

function cheapestDay(
  { hours, costs }: Group,
  mask: number,
  leftOut: readonly number[],
  prices: ArrayLike<number>,
  room: ArrayLike<number> | null,
): { cost: number; day: number } {
  const isSingle = (mask & (mask - 1)) === 0;
  let cost = isSingle && mask > 0 ? (leftOut[31 - Math.clz32(mask)] ?? Infinity) : Infinity;
  let day = -1;
  for (let i = 0; i < costs.length; i++) {
    if (room !== null && hours > (room[i] ?? 0)) continue;
    const priced = (costs[i] ?? Infinity) + (prices[i] ?? 0) * hours;
    if (priced < cost) [cost, day] = [priced, i];
  }
  return { cost, day };
}

const costLeftOut = (problem: VisitProblem, line: LineToPlan): number =>
  line.fixedOn === null ? visitCost([line], problem.dayAfter, problem.rates).total : Infinity;

const mayBeOn = ({ fixedOn, windowOpensOn }: LineToPlan, day: number): boolean =>
  fixedOn === null ? day >= windowOpensOn : day === fixedOn;

/** Lines with those of the same vehicle. */
export function byVehicle(lines: readonly LineToPlan[]): LineToPlan[][] {
  const found = new Map<string, LineToPlan[]>();
  for (const line of lines) {
    const own = found.get(line.vehicleId);
    if (own) own.push(line);
    else found.set(line.vehicleId, [line]);
  }
  return [...found.values()];
}

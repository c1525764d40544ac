import { visitHours } from './labour-hours.js';
import type { Assignment, CostSplit, LineToPlan, VisitProblem, VisitRates } from './types.js';

/** Hours are sums of tenths; a day is not full for the sake of a rounding error. */
export const HOURS_ROUNDING = 1e-9;

/**
 * What a day costs one line besides the work: days late, and the share of its own work that is lost
 * by going early.
 */
export function timingCost(
  line: LineToPlan,
  day: number,
  rates: VisitRates,
): { lateness: number; lifeThrownAway: number } {
  const early = Math.max(0, line.dueOn - day);
  const share = line.lifeDays === null || line.lifeDays <= 0 ? 0 : Math.min(1, early / line.lifeDays);
  return {
    lateness: line.lateOn === null ? 0 : Math.max(0, day - line.lateOn) * rates.latenessPerDay,
    lifeThrownAway: share * visitHours([line]) * rates.labourPerHour,
  };
}

/** What lines of one vehicle cost when they are done together on a day. */
export function visitCost(lines: readonly LineToPlan[], day: number, rates: VisitRates): CostSplit {
  if (lines.length === 0) return { labour: 0, downtime: 0, lifeThrownAway: 0, lateness: 0, total: 0 };
  const labour = visitHours(lines) * rates.labourPerHour;
  const downtime = rates.downtimePerDay;
  const timing = lines.map((line) => timingCost(line, day, rates));
  const lateness = timing.reduce((sum, each) => sum + each.lateness, 0);
  const lifeThrownAway = timing.reduce((sum, each) => sum + each.lifeThrownAway, 0);
  return { labour, downtime, lifeThrownAway, lateness, total: labour + downtime + lifeThrownAway + lateness };
}

/**
 * The visits of an assignment: lines of one vehicle on one day; each line that is left out is a
 * visit of its own on the day after.
 */
export function visitsOf(
  problem: VisitProblem,
  assignment: Assignment,
): { day: number; planned: boolean; lines: LineToPlan[] }[] {
  const visits = new Map<string, { day: number; planned: boolean; lines: LineToPlan[] }>();
  for (const line of problem.lines) {
    const day = assignment.get(line.id) ?? null;
    const key = day === null ? `left-out ${line.id}` : `${day} ${line.vehicleId}`;
    const visit = visits.get(key) ?? { day: day ?? problem.dayAfter, planned: day !== null, lines: [] };
    visit.lines.push(line);
    visits.set(key, visit);
  }
  return [...visits.values()];
}

/**
 * What an assignment costs, split by reason. A line that is left out costs as much as alone on the
 * day after.
 */
export function assignmentCost(problem: VisitProblem, assignment: Assignment): CostSplit {
  const sum = { labour: 0, downtime: 0, lifeThrownAway: 0, lateness: 0, total: 0 };
  for (const { lines, day } of visitsOf(problem, assignment)) {
    const cost = visitCost(lines, day, problem.rates);
    for (const reason of Object.keys(sum) as (keyof CostSplit)[]) sum[reason] += cost[reason];
  }
  return sum;
}

/**
 * The cost of doing each line on its own due day, or on the next working day. Lines that are due
 * already come in on the first day, and lines of one vehicle on the same day come in together.
 * Available hours are ignored, so the cost is never too high.
 */
export function costOnDueDays(problem: VisitProblem): CostSplit {
  const assignment = new Map(
    problem.lines.map(({ id, dueOn }) => [id, problem.days.find((day) => day >= dueOn) ?? null]),
  );
  return assignmentCost(problem, assignment);
}

/**
 * Whether every line is on a working day within its window or later, or on the one decided on, and
 * no day has more work than hours.
 */
export function isFeasible(problem: VisitProblem, assignment: Assignment): boolean {
  const hours = new Map<number, number>();
  for (const { id, fixedOn } of problem.lines)
    if (fixedOn !== null && assignment.get(id) !== fixedOn) return false;
  for (const { day, planned, lines } of visitsOf(problem, assignment)) {
    if (!planned) continue;
    if (!problem.days.includes(day)) return false;
    if (lines.some((line) => line.fixedOn === null && day < line.windowOpensOn)) return false;
    hours.set(day, (hours.get(day) ?? 0) + visitHours(lines));
  }
  return [...hours].every(([day, each]) => each <= hoursFree(problem, day) + HOURS_ROUNDING);
}

/** Hours that are free on a day. */
export function hoursFree({ hoursOn }: Pick<VisitProblem, 'hoursOn'>, day: number): number {
  return hoursOn.get(day) ?? 0;
}

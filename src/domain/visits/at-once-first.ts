import { visitHours } from './labour-hours.js';
import type { LineToPlan, VisitProblem } from './types.js';
import { byVehicle } from './vehicle-visits.js';
import { HOURS_ROUNDING, hoursFree } from './visit-cost.js';

/**
 * Gives lines that are due at once their day before any other work: the first working day with
 * enough hours free, those that were due longest first. Lines of one vehicle come in together
 * where a day has room for all of them. One that was put off is due again on the day it was put off
 * to, and gets the first day from then on. A day that a person decided on stays. A line for
 * which no day has room is planned like any other.
 *
 * The rest of the plan is then the cheapest around those days. Common practice, no published
 * source: what is unsafe goes first, whatever that costs.
 *
 * @returns the problem with `fixedOn` set on these lines
 * @example atOnceFirst(problem).lines // [{ id: 'retest', isAtOnce: true, fixedOn: 20787, … }, …]
 */
export function atOnceFirst(problem: VisitProblem): VisitProblem {
  const urgent = problem.lines
    .filter(({ isAtOnce, fixedOn }) => isAtOnce && fixedOn === null)
    .toSorted((a, b) => a.dueOn - b.dueOn || (a.id < b.id ? -1 : 1));
  if (urgent.length === 0) return problem;
  const placed = new Map<string, LineToPlan>();
  const current = (): LineToPlan[] => problem.lines.map((line) => placed.get(line.id) ?? line);
  const firstDayOf = ({ dueOn }: LineToPlan): number => problem.days.find((day) => day >= dueOn) ?? Infinity;
  const place = (lines: readonly LineToPlan[], from: number): boolean => {
    const day = problem.days.find((each) => each >= from && hasRoom(problem, current(), lines, each));
    if (day === undefined) return false;
    for (const line of lines) placed.set(line.id, { ...line, fixedOn: day });
    return true;
  };
  for (const from of new Set(urgent.map(firstDayOf))) {
    const together = byVehicle(urgent.filter((line) => firstDayOf(line) === from));
    for (const lines of together) if (!place(lines, from)) for (const line of lines) place([line], from);
  }
  return { ...problem, lines: current() };
}

function hasRoom(
  problem: VisitProblem,
  lines: readonly LineToPlan[],
  added: readonly LineToPlan[],
  day: number,
): boolean {
  const onDay = [...lines.filter(({ fixedOn }) => fixedOn === day), ...added];
  const hours = byVehicle(onDay).reduce((sum, visit) => sum + visitHours(visit), 0);
  return hours <= hoursFree(problem, day) + HOURS_ROUNDING;
}

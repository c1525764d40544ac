import { civilDateOf } from '../calendar/civil-date.js';
import { plain } from '../quantities/wording.js';
import { visitHours } from './labour-hours.js';
import type { Assignment, LineToPlan, VisitProblem } from './types.js';
import { HOURS_ROUNDING, hoursFree, visitsOf } from './visit-cost.js';

/**
 * Why each line that an assignment leaves out is left for later, in words, by its id.
 *
 * @example 'It takes 4.3 h, and no working day has so many hours free.'
 */
export function reasonsLeftOut(problem: VisitProblem, assignment: Assignment): Map<string, string> {
  const taken = new Map<number, number>();
  for (const { day, planned, lines } of visitsOf(problem, assignment))
    if (planned) taken.set(day, (taken.get(day) ?? 0) + visitHours(lines));
  const reasons = new Map<string, string>();
  for (const line of problem.lines)
    if ((assignment.get(line.id) ?? null) === null) reasons.set(line.id, reasonOf(problem, line, taken));
  return reasons;
}

function reasonOf(problem: VisitProblem, line: LineToPlan, taken: ReadonlyMap<number, number>): string {
  const open = problem.days.filter((day) => day >= line.windowOpensOn);
  const next = `${civilDateOf(problem.dayAfter)}, the first working day after the plan`;
  if (problem.days.length === 0) return 'The depot works on none of the days of the plan.';
  if (open.length === 0)
    return `Its window opens on ${civilDateOf(line.windowOpensOn)}, after the last working day of the plan.`;
  const hours = visitHours([line]);
  if (open.every((day) => hoursFree(problem, day) + HOURS_ROUNDING < hours))
    return `It takes ${plain(hours)} h, and no working day from ${civilDateOf(open[0] ?? 0)} on has so many hours of labour free.`;
  const fits = open.some((day) => hoursFree(problem, day) - (taken.get(day) ?? 0) + HOURS_ROUNDING >= hours);
  return fits
    ? `It costs no more on ${next}.`
    : `The hours of labour go to work that costs more to leave; it is reckoned on ${next}.`;
}

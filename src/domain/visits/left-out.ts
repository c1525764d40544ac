import { civilDateOf } from '../calendar/civil-date.js';
import type { Message } from '../message.js';
import { visitHours } from './labour-hours.js';
import { message } from './messages.js';
import type { Assignment, LineToPlan, VisitProblem } from './types.js';
import { HOURS_ROUNDING, hoursFree, visitsOf } from './visit-cost.js';

/**
 * Why each line that an assignment leaves out is left for later, by the id of the line.
 *
 * @example reasonsLeftOut(problem, assignment).get(id) // { code: 'visit-left-too-long-for-a-day', values: { hours: 4.3, from: '2026-04-03' } }
 */
export function reasonsLeftOut(problem: VisitProblem, assignment: Assignment): Map<string, Message> {
  const taken = new Map<number, number>();
  for (const { day, planned, lines } of visitsOf(problem, assignment))
    if (planned) taken.set(day, (taken.get(day) ?? 0) + visitHours(lines));
  const reasons = new Map<string, Message>();
  for (const line of problem.lines)
    if ((assignment.get(line.id) ?? null) === null) reasons.set(line.id, reasonOf(problem, line, taken));
  return reasons;
}

function reasonOf(problem: VisitProblem, line: LineToPlan, taken: ReadonlyMap<number, number>): Message {
  const open = problem.days.filter((day) => day >= line.windowOpensOn);
  if (problem.days.length === 0) return message('visit-left-no-working-day');
  if (open.length === 0)
    return message('visit-left-window-opens-later', { opens: civilDateOf(line.windowOpensOn) });
  const hours = visitHours([line]);
  if (open.every((day) => hoursFree(problem, day) + HOURS_ROUNDING < hours))
    return message('visit-left-too-long-for-a-day', { hours, from: civilDateOf(open[0] ?? 0) });
  const fits = open.some((day) => hoursFree(problem, day) - (taken.get(day) ?? 0) + HOURS_ROUNDING >= hours);
  return message(fits ? 'visit-left-costs-no-more-later' : 'visit-left-for-dearer-work', {
    next: civilDateOf(problem.dayAfter),
  });
}

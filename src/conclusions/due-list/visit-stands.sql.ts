/**
 * True when an open line has a planned visit that still applies. That is so while the vehicle
 * belongs to the visit's depot and the work has not been done since the visit was planned. When a
 * report is voided or the vehicle returns to the depot, the visit applies again without any write.
 *
 * Must match the `where` of the index `due_lines_visit_ix` word for word.
 *
 * @param line the alias of `due_lines`
 */
export function visitStands(line = 'l'): string {
  return `(${line}.visit_id is not null and ${line}.is_open and ${line}.depot_id is not distinct from ${line}.visit_depot_id and ${isStillToDo(line, `${line}.visit_counts_from`)})`;
}

/**
 * True when the work of a line has not been done since the day it counted from.
 *
 * @param countsFrom SQL expression for what `last_done_on` was then
 */
export function isStillToDo(line: string, countsFrom: string): string {
  return `(${line}.last_done_report_id is null or (${countsFrom} is not null and ${line}.last_done_on <= ${countsFrom}))`;
}

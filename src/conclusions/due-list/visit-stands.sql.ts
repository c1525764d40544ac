/**
 * True where the visit that an open line was confirmed for stands: the vehicle is still at its
 * depot, and the work has not been done since the visit was planned. A report that is voided, or
 * a vehicle that comes back, thus makes it stand again, and nothing need be rewritten. Word for
 * word the `where` of the index `due_lines_visit_ix`.
 *
 * @param line the alias of `due_lines`
 */
export function visitStands(line = 'l'): string {
  return `(${line}.visit_id is not null and ${line}.is_open and ${line}.depot_id is not distinct from ${line}.visit_depot_id and ${isStillToDo(line, `${line}.visit_counts_from`)})`;
}

/**
 * True where the work of a line has not been done since it counted from a day.
 *
 * @param countsFrom SQL expression for what `last_done_on` was
 */
export function isStillToDo(line: string, countsFrom: string): string {
  return `(${line}.last_done_report_id is null or (${countsFrom} is not null and ${line}.last_done_on <= ${countsFrom}))`;
}

/**
 * How long a defect's report and certificate are kept with their names: 49 CFR 396.11(a)(4) asks
 * for three months from the day of the report.
 */
export const DEFECT_MONTHS = 3;

const isRecent = (instant: string): string => `${instant} > now() - interval '${DEFECT_MONTHS} months'`;

/**
 * SQL that is true for rows of which a column keeps its name by law, by table and column: who
 * reported a defect, who decided about it, and who repaired it.
 */
const KEPT: Record<string, Record<string, string>> = {
  defects: { reported_by: isRecent('reported_at'), posted_by: isRecent('reported_at') },
  defect_decisions: { decided_by: isRecent('at') },
  job_reports: {
    performed_by: `${isRecent('performed_at')} and exists (select from defects d where d.fleet_id = job_reports.fleet_id and d.repaired_by_id = job_reports.id)`,
  },
};

/** The condition of a column; null: it keeps no names by law. */
export function keptWhile(table: string, column: string): string | null {
  return KEPT[table]?.[column] ?? null;
}

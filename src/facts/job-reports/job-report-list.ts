import type { SelectQueryBuilder } from 'typeorm';
import { addDays } from '../../domain/calendar/civil-date.js';
import { startOfDay } from '../../domain/calendar/zone.js';
import { badQuery } from '../../platform/problems/problem.js';
import { message } from './messages.js';
import type { JobReportQuery } from './job-report.dto.js';
import type { JobReport } from '../../entities/job-report.entity.js';

/** The filters of a list of reports. A cursor is valid only with the same filters. */
export type JobReportFilters = Omit<JobReportQuery, 'limit' | 'cursor'>;

export function filtersOf(query: JobReportQuery): JobReportFilters {
  const { vehicleId, depotId, verdict, from, to, released, notice } = query;
  if (from !== undefined && to !== undefined && from > to)
    throw badQuery('to', message('job-reports-to-before-from', { from, to }));
  return { vehicleId, depotId, verdict, from, to, released, notice };
}

/**
 * Adds the filters of the list to a query for reports `r`.
 *
 * @param timeZone the zone in which `from` and `to` are days, both included
 */
export function narrowReports(
  builder: SelectQueryBuilder<JobReport>,
  { vehicleId, depotId, verdict, from, to, released, notice }: JobReportFilters,
  timeZone: string,
): void {
  if (vehicleId) builder.andWhere('r.vehicleId = :vehicleId', { vehicleId });
  if (depotId) builder.andWhere('r.depotId = :depotId', { depotId });
  if (verdict) builder.andWhere('r.verdict = :verdict', { verdict });
  if (from) builder.andWhere('r.performedAt >= :from', { from: new Date(startOfDay(from, timeZone)) });
  if (to)
    builder.andWhere('r.performedAt < :until', { until: new Date(startOfDay(addDays(to, 1), timeZone)) });
  if (released) builder.andWhere('r.isReleasedWithFindings and r.voidedAt is null');
  if (notice) {
    builder
      .andWhere('r.possibleDuplicateOfId is not null and r.voidedAt is null')
      .andWhere(
        'not exists (select from job_reports o where o.fleet_id = r.fleetId and o.id = r.possibleDuplicateOfId and o.voided_at is not null)',
      );
  }
}

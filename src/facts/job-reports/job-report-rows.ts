import { type EntityManager, In } from 'typeorm';
import { attachmentsOf } from '../attachments/attachments-of.queries.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { notFound } from '../../platform/problems/problem.js';
import { Reading } from '../../entities/reading.entity.js';
import { reEvaluationsOf } from '../readings/re-evaluations.queries.js';
import { UsageReading } from '../../entities/usage-reading.entity.js';
import type { JobReportView } from './job-report.dto.js';
import { JobLine, JobReport } from '../../entities/job-report.entity.js';
import { viewOf } from './job-report-view.js';
import { openFindingsOf } from './released-with-findings.queries.js';

/** A report as it is shown. @throws Problem 404 */
export async function shownReport(manager: EntityManager, id: string): Promise<JobReportView> {
  const report = await manager.findOneBy(JobReport, { fleetId: fleetScope().fleetId, id });
  if (!report) throw notFound('job report');
  return (await shownReports(manager, [report])).get(id) as JobReportView;
}

/**
 * Reports as they are shown, by id. The number of statements does not grow with the number of
 * reports.
 */
export async function shownReports(
  manager: EntityManager,
  reports: JobReport[],
): Promise<Map<string, JobReportView>> {
  if (reports.length === 0) return new Map();
  const where = { fleetId: fleetScope().fleetId, jobReportId: In(reports.map((report) => report.id)) };
  const lines = await manager.find(JobLine, { where, order: { position: 'ASC' } });
  const found = await manager.find(Reading, { where, order: { position: 'ASC' } });
  const judgedAnew = await reEvaluationsOf(manager, found);
  const readings = found.map((reading) => ({ ...reading, reEvaluations: judgedAnew.get(reading.id) }));
  const attachments = await attachmentsOf(
    manager,
    reports.map(({ id }) => id),
  );
  const usage = await manager.find(UsageReading, { where });
  const released = reports.filter(
    ({ isReleasedWithFindings, voidedAt }) => isReleasedWithFindings && !voidedAt,
  );
  const openFindings = await openFindingsOf(
    manager,
    where.fleetId,
    released.map(({ vehicleId }) => vehicleId),
  );
  const viewed = (report: JobReport): JobReportView => {
    const isOfReport = ({ jobReportId }: { jobReportId: string | null }): boolean =>
      jobReportId === report.id;
    const parts = { lines: lines.filter(isOfReport), readings: readings.filter(isOfReport) };
    return viewOf(report, {
      ...{ openFindings, ...parts },
      firstCircuit: [...parts.lines, ...parts.readings][0]?.firstCircuit ?? null,
      attachments: attachments.get(report.id) ?? [],
      usage: usage.find(isOfReport) ?? null,
    });
  };
  return new Map(reports.map((report) => [report.id, viewed(report)]));
}

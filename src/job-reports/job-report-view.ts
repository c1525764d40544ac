import type { AttachmentView } from '../attachments/attachment.dto.js';
import { canonicalOf } from '../platform/http/fields.js';
import { optionalMeasure } from '../platform/http/measures.js';
import type { OccasionJob, Recorded } from '../readings/occasion.js';
import { readingView, type ShownReading } from '../readings/reading-view.js';
import type { JobLineInput, JobReportInput, JobReportView } from './job-report.dto.js';
import { type JobLine, JobReport } from './job-report.entity.js';
import { noticesOf } from './notices.js';

type ShownLine = Pick<JobLine, 'component' | 'action' | 'item' | 'partNumber' | 'lot' | 'finding' | 'failed'>;

/** A report as it is shown. */
export function viewOf(
  report: JobReport,
  lines: ShownLine[],
  readings: ShownReading[],
  attachments: AttachmentView[],
): JobReportView {
  const { id, vehicleId, performedBy, workedAtDepotId, releasedForService, notes, isBaseline } = report;
  return {
    ...{ id, vehicleId, performedBy, workedAtDepotId, releasedForService, notes, isBaseline },
    performedAt: report.performedAt.toISOString(),
    sentAt: report.sentAt?.toISOString() ?? null,
    receivedAt: report.receivedAt.toISOString(),
    odometer: optionalMeasure('distance', report.odometerKm),
    engineHours: optionalMeasure('engine-hours', report.engineHours),
    elevation: optionalMeasure('elevation', report.elevationM),
    lines: lines.map(
      ({ component, action, item, partNumber, lot, finding, failed }) =>
        ({ component, action, item, partNumber, lot, finding, failed }) as JobLineInput,
    ),
    readings: readings.map(readingView),
    outcome: report.outcome ?? { verdict: 'pass', resets: [], followUps: [], alerts: [], held: [] },
    attachments,
    notices: noticesOf(report),
    supersedes: report.supersedesId,
    supersededBy: report.supersededById,
    voided: report.voidedAt && { at: report.voidedAt.toISOString(), reason: report.voidReason ?? '' },
  };
}

/** The answer to a report that was just recorded: what `viewOf` would show of the stored rows. */
export function freshView(
  input: JobReportInput,
  { id, lines }: OccasionJob,
  { readings, outcome, possibleDuplicateOfId, receivedAt }: Recorded,
): JobReportView {
  const { performedBy = null, releasedForService = null, notes = null } = input;
  const report = Object.assign(new JobReport(), {
    ...{ id, performedBy, releasedForService, notes, outcome, receivedAt },
    vehicleId: input.vehicleId.toLowerCase(),
    workedAtDepotId: input.workedAtDepotId?.toLowerCase() ?? null,
    performedAt: new Date(input.performedAt),
    sentAt: input.sentAt ? new Date(input.sentAt) : null,
    odometerKm: canonicalOf('distance', input.odometer),
    engineHours: canonicalOf('engine-hours', input.engineHours),
    elevationM: canonicalOf('elevation', input.elevation),
    isBaseline: false,
    supersedesId: input.supersedes?.toLowerCase() ?? null,
    supersededById: null,
    possibleDuplicateOfId,
    voidedAt: null,
  });
  const takenAt = report.performedAt;
  return viewOf(
    report,
    lines,
    readings.map(({ id: readingId, canonical: { kind }, typed, evaluation }) => ({
      id: readingId,
      kind,
      takenAt,
      jobReportId: id,
      typed,
      evaluation,
      voidedAt: null,
    })),
    [],
  );
}

import type { MessageView } from '../../platform/words/message.dto.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import { shownVoidReason } from '../../platform/words/void-reason.js';
import type { AttachmentView } from '../attachments/attachment.dto.js';
import { releaseWarning, safetyFindings } from '../../domain/follow-ups/safety-findings.js';
import { isInCircuit } from '../../domain/intervals/circuit-opening.js';
import type { Component, WorkLine } from '../../domain/intervals/types.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { CircuitName, InCircuit } from '../../domain/vehicles/circuits.js';
import type { Reading } from '../../domain/readings/kinds.js';
import { signedInName } from '../../platform/scope/fleet-scope.js';
import { optionalMeasure } from '../../platform/presenting/measures.js';
import type { OccasionJob, Recorded } from '../readings/occasion.js';
import { readingView, shownOutcome, type ShownReading } from '../readings/reading-view.js';
import type { UsageReading } from '../../entities/usage-reading.entity.js';
import type { JobLineInput, JobReportInput, JobReportView, ReportUsageView } from './job-report.dto.js';
import { type JobLine, type JobOutcome, JobReport } from '../../entities/job-report.entity.js';
import { noticesOf } from './notices.js';

type ShownLine = Pick<
  JobLine,
  'component' | 'action' | 'item' | 'partNumber' | 'lot' | 'finding' | 'failed'
> &
  InCircuit;

type ShownUsage = Pick<
  UsageReading,
  'id' | 'status' | 'detail' | 'odometerLifetimeKm' | 'engineHoursLifetime'
>;

interface ShownJobReading extends ShownReading {
  canonical: object;
  circuit: CircuitName | null;
}

/** What is shown with a report. */
export interface ShownParts {
  lines: ShownLine[];
  /** Its name where the vehicle has more than one. */
  firstCircuit: CircuitName | null;
  /** In the order in which they were taken. */
  readings: ShownJobReading[];
  attachments: AttachmentView[];
  /** Failed safety readings with which the vehicle was released, and that are not settled yet. */
  openFindings: ReadonlySet<string>;
  /** The usage reading from the report's counters. */
  usage: ShownUsage | null;
}

const NOTHING_CAME_OF_IT: JobOutcome = { verdict: 'pass', resets: [], followUps: [], alerts: [], held: [] };

/** A report as it is shown. */
export function viewOf(
  report: JobReport,
  { lines, firstCircuit, readings, attachments, openFindings, usage }: ShownParts,
): JobReportView {
  const { id, vehicleId, performedBy, workedAtDepotId, depotId, releasedForService, notes, isBaseline } =
    report;
  const found = findingsOf(report, lines, readings);
  return {
    // First in the body: whoever reads only one line of it reads this one.
    warning: warningOf(found, openFindings),
    ...{ id, vehicleId, performedBy, workedAtDepotId, depotId, releasedForService, notes, isBaseline },
    performedAt: report.performedAt.toISOString(),
    sentAt: report.sentAt?.toISOString() ?? null,
    receivedAt: report.receivedAt.toISOString(),
    odometer: optionalMeasure('distance', report.odometerKm),
    engineHours: optionalMeasure('engine-hours', report.engineHours),
    usageReading: usage && usageOf(usage),
    elevation: optionalMeasure('elevation', report.elevationM),
    lines: lines.map((line) => lineView(line, firstCircuit)),
    readings: readings.map((reading) => readingView(reading, firstCircuit)),
    repairedDefects: report.repairedDefects,
    outcome: shownOutcome(report.outcome ?? NOTHING_CAME_OF_IT),
    attachments,
    notices: noticesOf(report, found, openFindings),
    supersedes: report.supersedesId,
    supersededBy: report.supersededById,
    voided: report.voidedAt && {
      at: report.voidedAt.toISOString(),
      reason: shownVoidReason(report.voidReason),
    },
  };
}

function lineView(line: ShownLine, firstCircuit: CircuitName | null): JobLineInput {
  const { component, action, item, partNumber, lot, finding, failed } = line;
  const circuit = line.circuit ?? (isInCircuit(component as Component) ? firstCircuit : null);
  return {
    ...{ component, action, item },
    ...(circuit !== null && { circuit }),
    ...{ partNumber, lot, finding, failed },
  } as JobLineInput;
}

/** The failed safety readings despite which the vehicle was released for service. */
function findingsOf(
  report: JobReport,
  lines: readonly ShownLine[],
  readings: readonly ShownJobReading[],
): ShownReading[] {
  if (!report.isReleasedWithFindings || report.voidedAt) return [];
  const taken = readings.map((reading, position) => ({
    ...{ id: reading.id, jobId: report.id, position, at: report.performedAt.getTime() },
    canonical: reading.canonical as unknown as Reading,
    circuit: reading.circuit,
    ...{ evaluation: reading.evaluation, reading },
  }));
  return safetyFindings(lines as readonly WorkLine[], taken).map(({ reading }) => reading);
}

function warningOf(found: readonly ShownReading[], openFindings: ReadonlySet<string>): MessageView | null {
  const open = found.filter(({ id }) => openFindings.has(id));
  return open.length === 0
    ? null
    : shownMessage(releaseWarning(open.map(({ typed, kind }) => ({ ...typed, kind }))));
}

function usageOf({
  id,
  status,
  detail,
  odometerLifetimeKm,
  engineHoursLifetime,
}: ShownUsage): ReportUsageView {
  return {
    ...{ id, status, detail: detail && shownMessage(detail) },
    odometerCounts: odometerLifetimeKm !== null,
    engineHoursCounts: engineHoursLifetime !== null,
  };
}

/**
 * The response to a report that was just recorded: the same as `viewOf` would show for the stored
 * rows.
 *
 * @param firstCircuit its name where the vehicle has more than one
 */
export function freshView(
  input: JobReportInput,
  { id, lines, repairedDefects }: OccasionJob,
  recorded: Recorded,
  firstCircuit: CircuitName | null,
): JobReportView {
  const { readings, outcome, possibleDuplicateOfId, receivedAt, openFindings, usage } = recorded;
  const performedBy = input.performedBy ?? signedInName();
  const { releasedForService = null, notes = null } = input;
  const report = Object.assign(new JobReport(), {
    ...{ id, performedBy, releasedForService, notes, repairedDefects, outcome, receivedAt },
    vehicleId: input.vehicleId.toLowerCase(),
    workedAtDepotId: input.workedAtDepotId?.toLowerCase() ?? null,
    depotId: input.workedAtDepotId?.toLowerCase() ?? recorded.depotId,
    isReleasedWithFindings: recorded.isReleasedWithFindings,
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
  return viewOf(report, {
    ...{ lines, firstCircuit, openFindings, usage, attachments: [] },
    readings: readings.map(({ id: readingId, canonical, circuit, typed, evaluation }) => ({
      id: readingId,
      kind: canonical.kind,
      canonical,
      circuit,
      takenAt,
      jobReportId: id,
      typed,
      evaluation,
      voidedAt: null,
    })),
  });
}

import { deviceAheadInWords, deviceAheadMs } from '../../domain/calendar/device-clock.js';
import { findingInWords, untilOf } from '../../domain/follow-ups/safety-findings.js';
import type { ShownReading } from '../readings/reading-view.js';
import type { JobNoticeView } from './job-report.dto.js';
import type { JobReport } from '../../entities/job-report.entity.js';

/**
 * What whoever posted a report, or looks at it, is told besides its outcome. Nothing in the report
 * was changed for it.
 */
export function noticesOf(
  {
    sentAt,
    receivedAt,
    possibleDuplicateOfId,
  }: Pick<JobReport, 'sentAt' | 'receivedAt' | 'possibleDuplicateOfId'>,
  findings: readonly ShownReading[],
  openFindings: ReadonlySet<string>,
): JobNoticeView[] {
  const aheadMs = sentAt && deviceAheadMs(sentAt.getTime(), receivedAt.getTime());
  return [
    ...(findings.length > 0 ? [releasedNotice(findings, openFindings)] : []),
    ...(sentAt && aheadMs !== null && aheadMs !== undefined
      ? [clockNotice(sentAt, receivedAt, aheadMs)]
      : []),
    ...(possibleDuplicateOfId ? [duplicateNotice(possibleDuplicateOfId)] : []),
  ];
}

function releasedNotice(findings: readonly ShownReading[], openFindings: ReadonlySet<string>): JobNoticeView {
  const sentences = findings.map(({ id, kind, typed, evaluation }) => {
    const { what, until } = findingInWords({ ...typed, kind });
    const why = evaluation.reasons.length === 0 ? '.' : `: ${evaluation.reasons.join(' ')}`;
    const todo = openFindings.has(id) ? untilOf([{ until }]) : 'Settled since.';
    return `A ${what}${why} ${todo}`;
  });
  return {
    code: 'released-with-findings',
    detail: `The report says that the vehicle was released for service. ${sentences.join(' ')}`,
    readingIds: findings.map(({ id }) => id),
  };
}

function clockNotice(sentAt: Date, receivedAt: Date, aheadMs: number): JobNoticeView {
  return {
    code: 'device-clock',
    detail:
      `The clock of the device was ${deviceAheadInWords(aheadMs)}: it says that this was sent at ${sentAt.toISOString()}, and it arrived at ` +
      `${receivedAt.toISOString()}. Times in the report are kept as they were sent; where performedAt came from that clock, it is as wrong.`,
    deviceAheadMinutes: Math.round(aheadMs / 60_000),
  };
}

function duplicateNotice(jobReportId: string): JobNoticeView {
  return {
    code: 'possible-duplicate',
    detail:
      `The report ${jobReportId} tells of the same work on this vehicle within the hour. Both are kept and both count, coolant that was added ` +
      'included; where they are one job, a manager voids one of them.',
    jobReportId,
  };
}

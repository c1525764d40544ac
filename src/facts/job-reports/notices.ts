import { clockOff, deviceAheadMs } from '../../domain/calendar/device-clock.js';
import { findingInWords, whatToDo } from '../../domain/follow-ups/safety-findings.js';
import type { Message } from '../../domain/message.js';
import { shownMessages } from '../../platform/words/shown-messages.js';
import type { ShownReading } from '../readings/reading-view.js';
import type { JobNoticeView } from './job-report.dto.js';
import type { JobReport } from '../../entities/job-report.entity.js';
import { message } from './messages.js';

/**
 * Notices about a report, besides its outcome, for whoever posts or reads it. They do not change
 * the report.
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
  const told = findings.flatMap(({ id, kind, typed, evaluation }): Message[] => {
    const found = findingInWords({ ...typed, kind });
    return [
      message('job-released-with', { finding: found.what }),
      ...evaluation.reasons,
      openFindings.has(id) ? whatToDo([found]) : message('job-finding-settled'),
    ];
  });
  return {
    code: 'released-with-findings',
    messages: shownMessages([message('job-released-with-findings'), ...told]),
    readingIds: findings.map(({ id }) => id),
  };
}

function clockNotice(sentAt: Date, receivedAt: Date, aheadMs: number): JobNoticeView {
  const told = message('job-device-clock', {
    ...clockOff(aheadMs),
    sentAt: sentAt.toISOString(),
    receivedAt: receivedAt.toISOString(),
  });
  return {
    code: 'device-clock',
    messages: shownMessages([told]),
    deviceAheadMinutes: Math.round(aheadMs / 60_000),
  };
}

function duplicateNotice(jobReportId: string): JobNoticeView {
  return {
    code: 'possible-duplicate',
    messages: shownMessages([message('job-possible-duplicate', { jobReportId })]),
    jobReportId,
  };
}

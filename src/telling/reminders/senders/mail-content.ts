import type { MessageBody } from './message-body.js';
import {
  type Alert,
  alertText,
  type DueLine,
  dueLineText,
  type HeldReading,
  heldText,
  isAtOnce,
  type Reading,
  readingText,
  stateOf,
  type Trouble,
  workOf,
} from './mail-wording.js';

/** What an e-mail says. */
export interface MailContent {
  subject: string;
  sections: MailSection[];
}

/** A heading, and what stands under it. */
export interface MailSection {
  heading: string;
  lines: string[];
}

interface Digest {
  total: number;
  shown: number;
  dueLines: DueLine[];
  lossAlerts: Alert[];
  failedReadings: Reading[];
  heldReadings: HeldReading[];
}

function digestSections({
  dueLines,
  lossAlerts,
  failedReadings,
  heldReadings,
  total,
  shown,
}: Digest): MailSection[] {
  const inState = (state: string): string[] =>
    dueLines.filter((line) => line.state === state && !isAtOnce(line)).map(dueLineText);
  return [
    { heading: 'At once', lines: dueLines.filter(isAtOnce).map(dueLineText) },
    { heading: 'Late', lines: inState('late') },
    { heading: 'Due', lines: inState('due') },
    { heading: 'In their window', lines: inState('window') },
    { heading: 'Loss alerts', lines: lossAlerts.map(alertText) },
    { heading: 'Failed readings', lines: failedReadings.map(readingText) },
    { heading: 'Usage readings held for review', lines: heldReadings.map(heldText) },
    { heading: 'And more', lines: total > shown ? [`${total - shown} more, which the due list shows`] : [] },
  ];
}

/** @example digestSubject({ total: 3, … }) // '3 items need attention, 1 at once' */
function digestSubject({ total, dueLines }: Digest): string {
  const atOnce = dueLines.filter(isAtOnce).length;
  const late = dueLines.filter((line) => line.state === 'late' && !isAtOnce(line)).length;
  const items = total === 1 ? '1 item needs attention' : `${total} items need attention`;
  return `${items}${atOnce > 0 ? `, ${atOnce} at once` : ''}${late > 0 ? `, ${late} late` : ''}`;
}

function digestMail(digest: Digest): MailContent {
  return { subject: digestSubject(digest), sections: digestSections(digest) };
}

function alertMail(alert: Alert): MailContent {
  return {
    subject: `Loss alert: ${alertText(alert)}`,
    sections: [
      { heading: alertText(alert), lines: alert.evidence.map(({ text }) => text) },
      { heading: 'Check next', lines: alert.checkNext },
      { heading: 'Cautions', lines: alert.cautions },
    ],
  };
}

function failedReadingMail({ warning, vehicle, kind, takenAt, evaluation }: Reading): MailContent {
  const { unitNumber } = vehicle;
  return {
    subject: warning ? `${unitNumber}: ${warning.text}` : `Failed: ${unitNumber}, ${kind}`,
    sections: [
      { heading: `Keep ${unitNumber} parked`, lines: warning ? [warning.text] : [] },
      { heading: `${unitNumber}: ${kind} of ${takenAt}`, lines: evaluation.reasons.map(({ text }) => text) },
      { heading: 'Cautions', lines: evaluation.cautions.map(({ text }) => text) },
    ],
  };
}

function heldReadingMail(held: HeldReading): MailContent {
  return {
    subject: `Held for review: usage of ${held.vehicle.unitNumber}`,
    sections: [{ heading: 'A usage reading is held for review', lines: [heldText(held)] }],
  };
}

function troubleMail({ text, reminderTarget }: Trouble): MailContent {
  const subject = reminderTarget
    ? `Reminders are not reaching ${reminderTarget.address}`
    : 'Reminders are late or not arriving';
  return { subject, sections: [{ heading: subject, lines: [text] }] };
}

function testMail({ message }: { message: string }): MailContent {
  return { subject: 'A test of reminders', sections: [{ heading: 'A test', lines: [message] }] };
}

function dueLineMail(line: DueLine): MailContent {
  return {
    subject: `${line.vehicle.unitNumber}: ${workOf(line)}, ${stateOf(line)}`,
    sections: [{ heading: 'Due list', lines: [dueLineText(line)] }],
  };
}

/** What an e-mail says; it follows from the message alone, so that each attempt says the same. */
export function mailContent({ type, data }: MessageBody): MailContent {
  switch (type) {
    case 'digest':
      return digestMail(data as Digest);
    case 'loss-alert.raised':
      return alertMail(data as Alert);
    case 'failed-reading':
      return failedReadingMail(data as Reading);
    case 'held-reading':
      return heldReadingMail(data as HeldReading);
    case 'delivery-trouble':
      return troubleMail(data as Trouble);
    case 'reminder-target.test':
      return testMail(data as { message: string });
    default:
      return dueLineMail(data as DueLine);
  }
}

import { alertTerm, readingTerm } from '../../../platform/words/terms.js';
import { message as shared } from '../../../platform/words/messages.js';
import { textIn } from '../../../platform/words/text-in.js';
import type { MessageBody } from './message-body.js';
import { message } from './messages.js';
import {
  type Alert,
  alertMessage,
  type DueLine,
  dueLineText,
  type HeldReading,
  heldText,
  isAtOnce,
  type MailReader,
  momentFor,
  type Reading,
  readingText,
  say,
  stateOf,
  type Trouble,
} from './mail-wording.js';
import { inCircuit, workTerm } from '../../../domain/intervals/terms.js';

/** The content of an e-mail. */
export interface MailContent {
  subject: string;
  sections: MailSection[];
}

/** A heading with the lines below it. */
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

function digestSections(digest: Digest, reader: MailReader): MailSection[] {
  const { dueLines, lossAlerts, failedReadings, heldReadings, total, shown } = digest;
  const texts = (lines: readonly DueLine[]): string[] => lines.map((line) => dueLineText(line, reader));
  const inState = (state: string): string[] =>
    texts(dueLines.filter((line) => line.state === state && !isAtOnce(line)));
  const more = total > shown ? [message('mail-more', { count: total - shown })] : [];
  return [
    { title: shared('heading-at-once'), lines: texts(dueLines.filter(isAtOnce)) },
    { title: message('mail-heading-late'), lines: inState('late') },
    { title: message('mail-heading-due'), lines: inState('due') },
    { title: message('mail-heading-window'), lines: inState('window') },
    {
      title: message('mail-heading-alerts'),
      lines: lossAlerts.map((alert) => say(alertMessage(alert), reader)),
    },
    {
      title: message('mail-heading-failed'),
      lines: failedReadings.map((reading) => readingText(reading, reader)),
    },
    { title: message('mail-heading-held'), lines: heldReadings.map((held) => heldText(held, reader)) },
    { title: message('mail-heading-more'), lines: more.map((said) => say(said, reader)) },
  ].map(({ title, lines }) => ({ heading: say(title, reader), lines }));
}

/** @example digestSubject({ total: 3, … }) // '3 items need attention, 1 at once' */
function digestSubject({ total, dueLines }: Digest, reader: MailReader): string {
  const atOnce = dueLines.filter(isAtOnce).length;
  const late = dueLines.filter((line) => line.state === 'late' && !isAtOnce(line)).length;
  return say(message('mail-digest-subject', { total, atOnce, late }), reader);
}

function digestMail(digest: Digest, reader: MailReader): MailContent {
  return { subject: digestSubject(digest, reader), sections: digestSections(digest, reader) };
}

function alertMail(alert: Alert, reader: MailReader): MailContent {
  const { vehicle, members, evidence, checkNext, cautions } = alert;
  const kind = inCircuit(alertTerm(alert.kind), alert.circuit);
  const subject =
    vehicle === null
      ? message('mail-alert-vehicles-subject', { count: members.length, kind })
      : message('mail-alert-subject', { unit: vehicle.unitNumber, kind });
  const shown = evidence.map((fact) => ('message' in fact ? textIn(fact.message) : fact.text));
  return {
    subject: say(subject, reader),
    sections: [
      { heading: say(alertMessage(alert), reader), lines: shown },
      { heading: say(message('mail-heading-check-next'), reader), lines: checkNext.map(textIn) },
      { heading: say(shared('heading-cautions'), reader), lines: cautions.map(textIn) },
    ],
  };
}

function failedReadingMail(reading: Reading, reader: MailReader): MailContent {
  const { vehicle, takenAt, evaluation } = reading;
  const { unitNumber: unit } = vehicle;
  const kind = inCircuit(readingTerm(reading.kind), reading.circuit);
  const warning = reading.warning === null ? null : textIn(reading.warning);
  const about = message('mail-heading-reading', { unit, kind, at: momentFor(takenAt, reader) });
  const subject =
    warning === null
      ? message('mail-failed-subject', { unit, kind })
      : message('mail-released-subject', { unit, warning });
  return {
    subject: say(subject, reader),
    sections: [
      {
        heading: say(message('mail-heading-keep-parked', { unit }), reader),
        lines: warning === null ? [] : [warning],
      },
      { heading: say(about, reader), lines: evaluation.reasons.map(textIn) },
      { heading: say(shared('heading-cautions'), reader), lines: evaluation.cautions.map(textIn) },
    ],
  };
}

function heldReadingMail(held: HeldReading, reader: MailReader): MailContent {
  return {
    subject: say(message('mail-held-subject', { unit: held.vehicle.unitNumber }), reader),
    sections: [{ heading: say(message('mail-heading-one-held'), reader), lines: [heldText(held, reader)] }],
  };
}

function troubleMail({ message: said, reminderTarget }: Trouble, reader: MailReader): MailContent {
  const subject = say(
    reminderTarget === null
      ? message('mail-trouble')
      : message('mail-trouble-target', { address: reminderTarget.address }),
    reader,
  );
  return { subject, sections: [{ heading: subject, lines: [textIn(said)] }] };
}

function testMail(
  { message: said }: { message: string | { text: string } },
  reader: MailReader,
): MailContent {
  return {
    subject: say(message('mail-test-subject'), reader),
    sections: [{ heading: say(message('mail-heading-test'), reader), lines: [textIn(said)] }],
  };
}

function dueLineMail(line: DueLine, reader: MailReader): MailContent {
  const { unitNumber: unit } = line.vehicle;
  const about = { unit, work: workTerm(line), state: stateOf(line) };
  return {
    subject: say(message('mail-due-subject', about), reader),
    sections: [{ heading: say(shared('heading-due-list'), reader), lines: [dueLineText(line, reader)] }],
  };
}

/**
 * Returns the content of an e-mail. It depends only on the message, so every attempt sends the
 * same.
 */
export function mailContent({ type, data }: MessageBody, reader: MailReader): MailContent {
  switch (type) {
    case 'digest':
      return digestMail(data as Digest, reader);
    case 'loss-alert.raised':
      return alertMail(data as Alert, reader);
    case 'failed-reading':
      return failedReadingMail(data as Reading, reader);
    case 'held-reading':
      return heldReadingMail(data as HeldReading, reader);
    case 'delivery-trouble':
      return troubleMail(data as Trouble, reader);
    case 'reminder-target.test':
      return testMail(data as { message: string }, reader);
    default:
      return dueLineMail(data as DueLine, reader);
  }
}

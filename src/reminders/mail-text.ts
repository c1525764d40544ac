import type { MessageBody } from './message-body.js';

/** An e-mail as it is written: plain text, and the same as simple HTML. */
export interface MailText {
  subject: string;
  text: string;
  html: string;
}

interface Vehicle {
  unitNumber: string;
}
interface Quantity {
  value: number;
  unit: string;
}
interface DueLine {
  vehicle: Vehicle;
  component: string;
  item: string | null;
  action: string;
  state: string;
  dueOn: string | null;
  lateOn: string | null;
  atOnce: boolean;
  cause: string | null;
  dueAt: { odometer: Quantity | null; engineHours: Quantity | null };
  releasedWithFindings: boolean;
}
interface Alert {
  kind: string;
  vehicle: Vehicle | null;
  members: string[];
  evidence: { text: string }[];
  checkNext: string[];
  cautions: string[];
}
interface Reading {
  /** That the vehicle was released with it, and what to do. */
  warning: string | null;
  vehicle: Vehicle;
  kind: string;
  takenAt: string;
  evaluation: { reasons: string[]; cautions: string[] };
}
interface HeldReading {
  vehicle: Vehicle;
  readAt: string;
  odometer: Quantity | null;
  engineHours: Quantity | null;
  detail: string | null;
}
interface Trouble {
  kind: string;
  text: string;
  reminderTarget: { address: string } | null;
}
interface Digest {
  total: number;
  shown: number;
  dueLines: DueLine[];
  lossAlerts: Alert[];
  failedReadings: Reading[];
  heldReadings: HeldReading[];
}

/** A heading, and what stands under it. */
interface Section {
  heading: string;
  lines: string[];
}

const STATES: Record<string, string> = { window: 'in its window', due: 'due', late: 'late' };
const FOOT = 'The vehicle maker’s service information, local rules and qualified people come first.';

/** One line of text, whatever was typed: what breaks a line would end a header of the message. */
const oneLine = (text: string): string => text.replaceAll(/[\p{Cc}\s]+/gu, ' ').trim();

const amount = (quantity: Quantity | null): string[] =>
  quantity ? [`${Math.round(quantity.value * 10) / 10} ${quantity.unit}`] : [];

function workOf({ component, item, action }: DueLine): string {
  return `${component}${item ? ` (${item})` : ''}: ${action}`;
}

/** One that was put off waits in its window, like any other line. */
const isAtOnce = ({ state, atOnce }: DueLine): boolean => atOnce && state !== 'window';

function stateOf(line: DueLine): string {
  const state = STATES[line.state] ?? line.state;
  if (!isAtOnce(line)) return state;
  return line.state === 'late' ? 'late, do it at once' : `${state} at once`;
}

function dueLineText(line: DueLine): string {
  const points = [
    ...(line.dueOn ? [line.dueOn] : []),
    ...amount(line.dueAt.odometer),
    ...amount(line.dueAt.engineHours),
  ];
  const why = line.cause === null ? '' : `. Why: ${line.cause}`;
  const released = line.releasedWithFindings ? '. The vehicle is released with open safety findings' : '';
  return `${line.vehicle.unitNumber}: ${workOf(line)}, ${stateOf(line)}; due ${points.join(' or ')}${why}${released}`;
}

const whoseAlert = ({ vehicle, members }: Alert): string =>
  vehicle?.unitNumber ?? `${members.length} vehicles`;

const alertText = (alert: Alert): string => `${whoseAlert(alert)}: ${alert.kind}`;
const readingText = ({ warning, vehicle, kind, takenAt, evaluation }: Reading): string =>
  `${vehicle.unitNumber}: ${warning ? `${warning} ` : ''}${kind} of ${takenAt} failed. ${evaluation.reasons.join(' ')}`;
const heldText = ({ vehicle, readAt, odometer, engineHours, detail }: HeldReading): string =>
  `${vehicle.unitNumber}: ${[...amount(odometer), ...amount(engineHours)].join(', ')} of ${readAt} is held. ${detail ?? ''}`;

function digestSections({
  dueLines,
  lossAlerts,
  failedReadings,
  heldReadings,
  total,
  shown,
}: Digest): Section[] {
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

/** What an e-mail says; it follows from the message alone, so that each attempt says the same. */
function contentOf({ type, data }: MessageBody): { subject: string; sections: Section[] } {
  if (type === 'digest') {
    const digest = data as Digest;
    return { subject: digestSubject(digest), sections: digestSections(digest) };
  }
  if (type === 'loss-alert.raised') {
    const alert = data as Alert;
    return {
      subject: `Loss alert: ${alertText(alert)}`,
      sections: [
        { heading: alertText(alert), lines: alert.evidence.map(({ text }) => text) },
        { heading: 'Check next', lines: alert.checkNext },
        { heading: 'Cautions', lines: alert.cautions },
      ],
    };
  }
  if (type === 'failed-reading') {
    const reading = data as Reading;
    return {
      subject: reading.warning
        ? `${reading.vehicle.unitNumber}: ${reading.warning}`
        : `Failed: ${reading.vehicle.unitNumber}, ${reading.kind}`,
      sections: [
        {
          heading: `Keep ${reading.vehicle.unitNumber} parked`,
          lines: reading.warning ? [reading.warning] : [],
        },
        {
          heading: `${reading.vehicle.unitNumber}: ${reading.kind} of ${reading.takenAt}`,
          lines: reading.evaluation.reasons,
        },
        { heading: 'Cautions', lines: reading.evaluation.cautions },
      ],
    };
  }
  if (type === 'held-reading') {
    const held = data as HeldReading;
    return {
      subject: `Held for review: usage of ${held.vehicle.unitNumber}`,
      sections: [{ heading: 'A usage reading is held for review', lines: [heldText(held)] }],
    };
  }
  if (type === 'delivery-trouble') {
    const { text, reminderTarget } = data as Trouble;
    const subject = reminderTarget
      ? `Reminders are not reaching ${reminderTarget.address}`
      : 'Reminders are late or not arriving';
    return { subject, sections: [{ heading: subject, lines: [text] }] };
  }
  if (type === 'reminder-target.test') {
    const { message } = data as { message: string };
    return { subject: 'A test of reminders', sections: [{ heading: 'A test', lines: [message] }] };
  }
  const line = data as DueLine;
  return {
    subject: `${line.vehicle.unitNumber}: ${workOf(line)}, ${stateOf(line)}`,
    sections: [{ heading: 'Due list', lines: [dueLineText(line)] }],
  };
}

const ENTITIES: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
const escaped = (text: string): string => text.replaceAll(/[&<>"']/g, (sign) => ENTITIES[sign] ?? sign);

/** Writes a message as an e-mail. */
export function mailText(message: MessageBody): MailText {
  const { subject, sections } = contentOf(message);
  const filled = sections
    .map(({ heading, lines }) => ({ heading: oneLine(heading), lines: lines.map(oneLine) }))
    .filter(({ lines }) => lines.length > 0);
  const text = filled.map(({ heading, lines }) => [heading, ...lines.map((line) => `- ${line}`)].join('\n'));
  const html = filled.map(
    ({ heading, lines }) =>
      `<h2>${escaped(heading)}</h2>\n<ul>\n${lines.map((line) => `<li>${escaped(line)}</li>\n`).join('')}</ul>`,
  );
  return {
    subject: oneLine(subject).slice(0, 200),
    text: [...text, FOOT].join('\n\n') + '\n',
    html: `<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>${escaped(oneLine(subject))}</title></head>\n<body>\n${html.join('\n')}\n<p>${escaped(FOOT)}</p>\n</body></html>\n`,
  };
}

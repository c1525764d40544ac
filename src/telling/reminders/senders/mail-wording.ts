import { workTerm } from '../../../domain/intervals/terms.js';
import type { WorkLine } from '../../../domain/intervals/types.js';
import type { LossAlertKind } from '../../../domain/loss/facts/types.js';
import type { Message } from '../../../domain/message.js';
import type { Quantity } from '../../../domain/quantities/units.js';
import type { ReadingKind } from '../../../domain/readings/kinds.js';
import { dateInWords, momentInWords } from '../../../platform/words/dates.js';
import type { Language } from '../../../platform/words/languages.js';
import { listed, quantityInWords, textOf, textsOf } from '../../../platform/words/render.js';
import { alertTerm, readingTerm } from '../../../platform/words/terms.js';
import { textIn } from '../../../platform/words/text-in.js';
import { message } from './messages.js';

/** Who reads an e-mail. Its quantities and texts are theirs already. */
export interface MailReader {
  language: Language;
  timeZone: string;
}

/** Something said, as a message shows it. */
type Said = string | { text: string };

interface Vehicle {
  unitNumber: string;
}

export interface DueLine extends WorkLine {
  vehicle: Vehicle;
  state: string;
  dueOn: string | null;
  lateOn: string | null;
  atOnce: boolean;
  /** Left out in messages that were made before there could be several. */
  causes?: Said[];
  dueAt: { odometer: Quantity | null; engineHours: Quantity | null };
  releasedWithFindings: boolean;
}
export interface Alert {
  kind: LossAlertKind;
  vehicle: Vehicle | null;
  members: string[];
  evidence: ({ text: string } | { message: Said })[];
  checkNext: Said[];
  cautions: Said[];
}
export interface Reading {
  /** That the vehicle was released with it, and what to do. */
  warning: Said | null;
  vehicle: Vehicle;
  kind: ReadingKind;
  takenAt: string;
  evaluation: { reasons: Said[]; cautions: Said[] };
}
export interface HeldReading {
  vehicle: Vehicle;
  readAt: string;
  odometer: Quantity | null;
  engineHours: Quantity | null;
  detail: Said | null;
}
export interface Trouble {
  kind: string;
  message: Said;
  reminderTarget: { address: string } | null;
}

/** A message of an e-mail, in words. */
export function say(said: Message, { language }: MailReader): string {
  return textOf(said, { language, units: null });
}

/** An instant by the clocks of the fleet. */
export function momentFor(at: string, { language, timeZone }: MailReader): string {
  return momentInWords(at, timeZone, language);
}

/** One that was postponed waits in its window, like any other line. */
export const isAtOnce = ({ state, atOnce }: DueLine): boolean => atOnce && state !== 'window';

/** How a line stands. */
export function stateOf(line: DueLine): 'window' | 'due' | 'late' | 'now' | 'latenow' {
  if (line.state === 'late') return isAtOnce(line) ? 'latenow' : 'late';
  if (isAtOnce(line)) return 'now';
  return line.state === 'due' ? 'due' : 'window';
}

const amounts = (quantities: readonly (Quantity | null)[], language: Language): string[] =>
  quantities.flatMap((quantity) => (quantity === null ? [] : quantityInWords(quantity, language)));

/** The line that a due line takes: what, by when, why, and whether its vehicle is on the road. */
export function dueLineText(line: DueLine, { language }: MailReader): string {
  const points = [
    ...(line.dueOn === null ? [] : [dateInWords(line.dueOn, language)]),
    ...amounts([line.dueAt.odometer, line.dueAt.engineHours], language),
  ];
  const { unitNumber: unit } = line.vehicle;
  const causes = (line.causes ?? []).map(textIn);
  const said = [
    message('mail-due', {
      ...{ unit, work: workTerm(line), state: stateOf(line) },
      points: listed(points, language, 'disjunction'),
    }),
    ...(causes.length === 0 ? [] : [message('mail-due-why', { causes: causes.join(' ') })]),
    ...(line.releasedWithFindings ? [message('mail-due-released')] : []),
  ];
  return textsOf(said, { language, units: null }).join(' ');
}

/** Which vehicle or vehicles an alert is about, and of which kind it is. */
export function alertMessage({ kind: named, vehicle, members }: Alert): Message {
  const kind = alertTerm(named);
  return vehicle === null
    ? message('mail-alert-vehicles', { count: members.length, kind })
    : message('mail-alert', { unit: vehicle.unitNumber, kind });
}

/** The line that a failed reading takes. */
export function readingText(reading: Reading, reader: MailReader): string {
  const { warning, vehicle, kind, takenAt, evaluation } = reading;
  const failed = {
    ...{ unit: vehicle.unitNumber, kind: readingTerm(kind), at: momentFor(takenAt, reader) },
    why: evaluation.reasons.map(textIn).join(' '),
  };
  return say(
    warning === null
      ? message('mail-failed', failed)
      : message('mail-failed-released', { ...failed, warning: textIn(warning) }),
    reader,
  );
}

/** The line that a usage reading takes which is held for review. */
export function heldText(held: HeldReading, reader: MailReader): string {
  const counters = amounts([held.odometer, held.engineHours], reader.language);
  return say(
    message('mail-held', {
      ...{ unit: held.vehicle.unitNumber, counters, at: momentFor(held.readAt, reader) },
      why: held.detail === null ? '' : textIn(held.detail),
    }),
    reader,
  );
}

import { inCircuit, workTerm } from '../../../domain/intervals/terms.js';
import type { CircuitName } from '../../../domain/vehicles/circuits.js';
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

/**
 * The reader of an e-mail. Quantities and texts in the message are already in the reader's units
 * and language.
 */
export interface MailReader {
  language: Language;
  timeZone: string;
}

/** A rendered message; a plain text in older ones. */
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
  /** Missing in older messages, from before a line could have several causes. */
  causes?: Said[];
  /** Says so where the interval is ready-made; missing in older messages. */
  basis?: Said[];
  dueAt: { odometer: Quantity | null; engineHours: Quantity | null };
  releasedWithFindings: boolean;
}
export interface Alert {
  kind: LossAlertKind;
  circuit?: CircuitName;
  vehicle: Vehicle | null;
  members: string[];
  evidence: ({ text: string } | { message: Said })[];
  checkNext: Said[];
  cautions: Said[];
}
export interface Reading {
  /** Says that the vehicle was released with this reading, and what to do; null when it was not. */
  warning: Said | null;
  vehicle: Vehicle;
  kind: ReadingKind;
  circuit?: CircuitName;
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

/** Renders a message for an e-mail. */
export function say(said: Message, { language }: MailReader): string {
  return textOf(said, { language, units: null });
}

/** An instant in the fleet's local time, in words. */
export function momentFor(at: string, { language, timeZone }: MailReader): string {
  return momentInWords(at, timeZone, language);
}

/** Whether a line is due at once. A postponed one is in its window, like any other line. */
export const isAtOnce = ({ state, atOnce }: DueLine): boolean => atOnce && state !== 'window';

/** The state of a line, as the messages name it. */
export function stateOf(line: DueLine): 'window' | 'due' | 'late' | 'now' | 'latenow' {
  if (line.state === 'late') return isAtOnce(line) ? 'latenow' : 'late';
  if (isAtOnce(line)) return 'now';
  return line.state === 'due' ? 'due' : 'window';
}

const amounts = (quantities: readonly (Quantity | null)[], language: Language): string[] =>
  quantities.flatMap((quantity) => (quantity === null ? [] : quantityInWords(quantity, language)));

/**
 * A due line as one line of text: what to do, by when, why, and whether the vehicle is on the road
 * with a failed reading.
 */
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
    ...((line.basis ?? []).length === 0 ? [] : [message('mail-due-common-practice')]),
    ...(line.releasedWithFindings ? [message('mail-due-released')] : []),
  ];
  return textsOf(said, { language, units: null }).join(' ');
}

/** Says which vehicle or vehicles an alert is about, and its kind. */
export function alertMessage({ kind: named, vehicle, members, circuit }: Alert): Message {
  const kind = inCircuit(alertTerm(named), circuit);
  return vehicle === null
    ? message('mail-alert-vehicles', { count: members.length, kind })
    : message('mail-alert', { unit: vehicle.unitNumber, kind });
}

/** A failed reading as one line of text. */
export function readingText(reading: Reading, reader: MailReader): string {
  const { warning, vehicle, kind, circuit, takenAt, evaluation } = reading;
  const failed = {
    ...{
      unit: vehicle.unitNumber,
      kind: inCircuit(readingTerm(kind), circuit),
      at: momentFor(takenAt, reader),
    },
    why: evaluation.reasons.map(textIn).join(' '),
  };
  return say(
    warning === null
      ? message('mail-failed', failed)
      : message('mail-failed-released', { ...failed, warning: textIn(warning) }),
    reader,
  );
}

/** A held usage reading as one line of text. */
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

import type { Unit } from '../../../../../src/domain/quantities/units.js';
import { isComplete } from '../readings/judge.js';
import { isTouched, numberTyped, postedOf, type TypedReading } from '../readings/typed-reading.js';
import type { components } from '../../../../typescript/src/client.js';
import type { Card } from '../known/known-vehicle.js';
import { askedReadings } from '../known/asked-readings.js';

type JobReport = components['schemas']['JobReportInput'];
type CardLine = Card['lines'][number];

/** A line of the card's work, and what the mechanic says of it. */
export interface DraftLine {
  line: Pick<CardLine, 'component' | 'action' | 'item' | 'circuit'>;
  isDone: boolean;
  finding: string;
  hadFailed: boolean;
  partNumber: string;
  lot: string;
}

/** A report that is being typed. */
export interface Draft {
  vehicleId: string;
  unitNumber: string;
  lines: readonly DraftLine[];
  readings: readonly TypedReading[];
  odometer: string;
  odometerUnit: Unit;
  engineHours: string;
  performedBy: string;
  released: '' | 'yes' | 'no' | 'with-limits';
  notes: string;
  /** The steps of the card that were ticked. */
  steps: readonly number[];
  /** The id of the refused report that this one repairs. */
  repairs: { id: string; performedAt: string } | null;
}

export function beginDraft(card: Card, units: 'us' | 'si', performedBy: string): Draft {
  const line = ({ component, action, item, circuit }: CardLine): DraftLine => ({
    ...{ line: { component, action, item, circuit }, isDone: false },
    ...{ finding: '', hadFailed: false, partNumber: '', lot: '' },
  });
  return {
    ...{ vehicleId: card.vehicle.id, unitNumber: card.vehicle.unitNumber },
    ...{ lines: card.lines.map(line), readings: askedReadings(card) },
    ...{ odometer: '', odometerUnit: units === 'us' ? 'mi' : 'km', engineHours: '', performedBy },
    ...{ released: '', notes: '', steps: [], repairs: null },
  };
}

/** The readings that are sent, in the order in which they are sent. */
export const sentReadings = ({ readings }: Draft): TypedReading[] => readings.filter(isComplete);

/** What a mechanic may have forgotten. */
export interface Forgotten {
  lines: DraftLine[];
  /** Readings of the card without a value. */
  empty: TypedReading[];
  /** Readings with a value too few, which cannot be sent. */
  unfinished: TypedReading[];
  odometer: boolean;
}

export function forgottenIn(draft: Draft): Forgotten {
  return {
    lines: draft.lines.filter(({ isDone }) => !isDone),
    empty: draft.readings.filter((reading) => !isTouched(reading)),
    unfinished: draft.readings.filter((reading) => isTouched(reading) && !isComplete(reading)),
    odometer: numberTyped(draft.odometer) === null && numberTyped(draft.engineHours) === null,
  };
}

/** Whether there is anything to send: work that is done, or a reading. */
export const saysAnything = (draft: Draft): boolean =>
  draft.lines.some(({ isDone }) => isDone) || sentReadings(draft).length > 0;

const text = (typed: string): string | undefined => typed.trim() || undefined;

/** The report as the service takes it. */
export function reportOf(draft: Draft, id: string, performedAt: string): JobReport {
  const odometer = numberTyped(draft.odometer);
  const hours = numberTyped(draft.engineHours);
  const report = {
    ...{ id, vehicleId: draft.vehicleId, performedAt },
    performedBy: text(draft.performedBy),
    odometer: odometer === null ? undefined : { value: odometer, unit: draft.odometerUnit },
    engineHours: hours === null ? undefined : { value: hours, unit: 'h' },
    releasedForService: draft.released === '' ? undefined : draft.released,
    notes: text(draft.notes),
    lines: draft.lines.filter(({ isDone }) => isDone).map(lineSent),
    readings: sentReadings(draft).map(postedOf),
  };
  // What is undefined is left out, as it is when the report is sent.
  return JSON.parse(JSON.stringify(report)) as JobReport;
}

function lineSent({ line, finding, hadFailed, partNumber, lot }: DraftLine) {
  return {
    ...{ component: line.component, action: line.action },
    item: line.item ?? undefined,
    circuit: line.circuit,
    finding: text(finding),
    failed: hadFailed || undefined,
    partNumber: text(partNumber),
    lot: text(lot),
  };
}

import type { Evaluation } from '../../../../../src/domain/evaluation/evaluation.js';
import { ImpossibleValue } from '../../../../../src/domain/impossible-value.js';
import type { Quantity, Unit } from '../../../../../src/domain/quantities/units.js';
import type { ReadingContext } from '../../../../../src/domain/readings/contract/reading-context.js';
import { evaluateReadingOfJob } from '../../../../../src/domain/readings/evaluate-reading.js';
import { isSameCircuit } from '../../../../../src/domain/vehicles/circuits.js';
import { KIND_FORMS } from './kind-forms.js';
import {
  canonicalReading,
  isTouched,
  missingIn,
  numberTyped,
  postedOf,
  TORQUES,
  type TypedReading,
  unitsFor,
  unreadableIn,
} from './typed-reading.js';

/** What the rules say of a reading while it is typed. */
export type Judged =
  | { is: 'empty' }
  | { is: 'incomplete'; missing: readonly string[]; unreadable: readonly string[] }
  | { is: 'impossible'; fault: ImpossibleValue; question: UnitQuestion | null }
  | { is: 'judged'; evaluation: Evaluation; question: UnitQuestion | null };

/** The same number makes sense in another unit: whether that one was meant. */
export interface UnitQuestion {
  /** The fields whose unit would change. */
  fields: readonly string[];
  meant: Quantity;
}

type ContextIn = (circuit: TypedReading['circuit']) => ReadingContext;

/** Whether a reading can be judged and sent. */
export const isComplete = (reading: TypedReading): boolean =>
  isTouched(reading) && missingIn(reading).length === 0 && unreadableIn(reading).length === 0;

/**
 * Judges a reading by the same rules as the service, with what the phone knows of the vehicle. The
 * service knows more, so its verdict counts.
 */
export function judge(readings: readonly TypedReading[], key: string, contextIn: ContextIn): Judged {
  const reading = readings.find((one) => one.key === key);
  if (reading === undefined || !isTouched(reading)) return { is: 'empty' };
  if (!isComplete(reading))
    return { is: 'incomplete', missing: missingIn(reading), unreadable: unreadableIn(reading) };
  const judged = judgeComplete(readings, reading, contextIn);
  if (judged.is === 'judged' && judged.evaluation.verdict !== 'fail' && reading.kind !== 'hold-test')
    return judged;
  if (judged.is === 'judged' && judged.evaluation.verdict === 'pass') return judged;
  return { ...judged, question: questionOf(readings, reading, contextIn) };
}

type Complete = Extract<Judged, { is: 'impossible' | 'judged' }>;

function judgeComplete(
  readings: readonly TypedReading[],
  reading: TypedReading,
  contextIn: ContextIn,
): Complete {
  const together = readings.filter(
    (other) => other.key === reading.key || (isComplete(other) && isSameCircuit(other, reading)),
  );
  const index = together.findIndex(({ key }) => key === reading.key);
  const canonical = together.map((one) => canonicalReading(postedOf(one)));
  try {
    const evaluation = evaluateReadingOfJob(canonical, index, contextIn(reading.circuit));
    return { is: 'judged', evaluation, question: null };
  } catch (fault) {
    if (!(fault instanceof ImpossibleValue)) throw fault;
    return { is: 'impossible', fault, question: null };
  }
}

/** Kinds whose gauges and wrenches have several scales on them, each with its main field. */
const SEVERAL_SCALES: Readonly<Partial<Record<TypedReading['kind'], string>>> = {
  'hold-test': 'start',
  'torque-set': 'torques',
  'freeze-point': 'value',
};

function questionOf(
  readings: readonly TypedReading[],
  reading: TypedReading,
  contextIn: ContextIn,
): UnitQuestion | null {
  const main = SEVERAL_SCALES[reading.kind];
  const field = KIND_FORMS[reading.kind].fields.find(({ name }) => name === main);
  if (field === undefined) return null;
  const now = reading.units[field.name] ?? unitsFor(field, reading)[0];
  const fields = reading.kind === 'hold-test' ? ['start', 'end'] : [field.name];
  for (const unit of unitsFor(field, reading).filter((other) => other !== now)) {
    const other = inUnit(reading, fields, unit);
    const judged = judgeComplete(
      readings.map((one) => (one.key === reading.key ? other : one)),
      other,
      contextIn,
    );
    const value = mainValue(reading, field.name);
    if (judged.is === 'judged' && judged.evaluation.verdict === 'pass' && value !== null)
      return { fields, meant: { value, unit } };
  }
  return null;
}

const mainValue = ({ values }: TypedReading, name: string): number | null =>
  numberTyped(values[name]) ?? numberTyped(values[TORQUES.setTo]) ?? numberTyped(values[TORQUES.one(0)]);

/** The reading with the same numbers in another unit. */
export function inUnit(reading: TypedReading, fields: readonly string[], unit: Unit): TypedReading {
  return {
    ...reading,
    units: { ...reading.units, ...Object.fromEntries(fields.map((name) => [name, unit])) },
  };
}

import { evaluateReadingOfJob } from '../../domain/readings/evaluate-reading.js';
import { READING_KINDS, type Reading } from '../../domain/readings/kinds.js';
import type { ReadingContext } from '../../domain/readings/contract/reading-context.js';
import type { Evaluation } from '../../domain/evaluation/evaluation.js';
import { ImpossibleValue } from '../../domain/impossible-value.js';
import type { HeldPart } from '../../entities/job-report.entity.js';
import { type FieldFault, Problem } from '../../platform/problems/problem.js';
import { rangeFault } from '../../platform/problems/range-problem.js';
import { validated } from '../../platform/input/validation.pipe.js';
import { type CircuitName, isSameCircuit, recordedCircuit } from '../../domain/vehicles/circuits.js';
import { circuitFault, type KnownCircuits } from './circuits-of-vehicle.js';
import { message } from './messages.js';
import { readingPointers, postedKindOf } from './posted-kinds.js';

/** A posted reading that is valid by itself. */
export interface ReadReading {
  /** Its index in the posted list. */
  position: number;
  pointer: string;
  typed: Record<string, unknown>;
  canonical: Reading;
  /** As it is recorded: null is the vehicle's first. */
  circuit: CircuitName | null;
}

export interface JudgedReading extends ReadReading {
  evaluation: Evaluation;
}

/** The result of reading a list: the good readings, and the faults of the others. */
export interface Sorted<T> {
  good: T[];
  faults: FieldFault[];
  held: HeldPart[];
}

async function readOne(raw: unknown, pointer: string): Promise<Pick<ReadReading, 'canonical' | 'circuit'>> {
  const kind =
    typeof raw === 'object' && raw !== null && !Array.isArray(raw)
      ? (raw as { kind?: unknown }).kind
      : undefined;
  const posted = postedKindOf(kind);
  if (posted === null) {
    const kinds = READING_KINDS;
    const detail =
      kind === undefined
        ? message('reading-kind-missing', { kinds })
        : message('reading-kind-unknown', { given: JSON.stringify(kind), kinds });
    throw new Problem(422, 'unacceptable-content', detail, [{ pointer: `${pointer}/kind`, detail }]);
  }
  const input = await validated(posted.input, raw, pointer);
  const { circuit = null } = input as { circuit?: CircuitName | null };
  return { canonical: posted.canonical(input), circuit };
}

/**
 * Validates posted readings, each with the class of its kind.
 *
 * @param pointers the JSON pointer of each reading in the body
 */
export async function readReadings(
  raws: readonly unknown[],
  pointers: readonly string[],
): Promise<Sorted<ReadReading>> {
  const sorted: Sorted<ReadReading> = { good: [], faults: [], held: [] };
  for (const [position, raw] of raws.entries()) {
    const pointer = pointers[position] ?? '';
    try {
      sorted.good.push({
        position,
        pointer,
        typed: raw as Record<string, unknown>,
        ...(await readOne(raw, pointer)),
      });
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      setAside(sorted, error.errors, pointer, raw);
    }
  }
  return sorted;
}

/**
 * Names the circuit of each reading as it is recorded, and sets those aside whose circuit the
 * vehicle does not have.
 */
export function inCircuits(readings: readonly ReadReading[], circuits: KnownCircuits): Sorted<ReadReading> {
  const sorted: Sorted<ReadReading> = { good: [], faults: [], held: [] };
  for (const reading of readings) {
    const detail = circuitFault(reading.circuit, circuits);
    if (detail === null)
      sorted.good.push({ ...reading, circuit: recordedCircuit(reading.circuit, circuits) });
    else
      setAside(sorted, [{ pointer: `${reading.pointer}/circuit`, detail }], reading.pointer, reading.typed);
  }
  return sorted;
}

/**
 * Judges the readings of one occasion, those in the same circuit together, because one can affect
 * another. Impossible readings are set aside.
 *
 * @param contextIn what readings in a circuit are judged by
 */
export function judgeReadings(
  readings: readonly ReadReading[],
  contextIn: (circuit: CircuitName | null) => ReadingContext,
): Sorted<JudgedReading> {
  const sorted: Sorted<JudgedReading> = { good: [], faults: [], held: [] };
  for (const reading of readings) {
    const together = readings.filter((other) => isSameCircuit(other, reading));
    try {
      const evaluation = evaluateReadingOfJob(
        together.map(({ canonical }) => canonical),
        together.indexOf(reading),
        contextIn(reading.circuit),
      );
      sorted.good.push({ ...reading, evaluation });
    } catch (error) {
      if (!(error instanceof ImpossibleValue)) throw error;
      const { pointer, typed, canonical } = reading;
      const fault = rangeFault(error, readingPointers(canonical.kind, typed, pointer), pointer);
      setAside(sorted, [fault], pointer, typed);
    }
  }
  return sorted;
}

function setAside(sorted: Sorted<unknown>, faults: FieldFault[], pointer: string, value: unknown): void {
  sorted.faults.push(...faults);
  sorted.held.push({
    pointer,
    faults: faults.map((fault) => ({ pointer: fault.pointer ?? pointer, message: fault.detail })),
    value,
  });
}

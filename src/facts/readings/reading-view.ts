import type { Evaluation } from '../../domain/evaluation/evaluation.js';
import type { JobOutcome } from '../../entities/job-report.entity.js';
import { asPosted } from '../../platform/presenting/posted.js';
import { shownMessage, shownMessages } from '../../platform/words/shown-messages.js';
import type {
  EvaluationView,
  HeldPartView,
  OpenedLineView,
  ReadingView,
  ReEvaluationView,
} from './reading.dto.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { hasCircuit, type ReadingKind } from '../../domain/readings/kinds.js';

/** The stored values from which a reading is shown. */
export interface ShownReading {
  id: string;
  kind: string;
  takenAt: Date;
  jobReportId: string | null;
  typed: Record<string, unknown>;
  /** As it is recorded: null is the vehicle's first. */
  circuit: CircuitName | null;
  evaluation: Evaluation;
  voidedAt: Date | null;
  reEvaluations?: ReEvaluationView[];
}

/** Shows an evaluation in a response. */
export function shownEvaluation({ reasons, cautions, basis, ...rest }: Evaluation): EvaluationView {
  return {
    ...rest,
    reasons: shownMessages(reasons),
    cautions: shownMessages(cautions),
    basis: shownMessages(basis),
  };
}

/** @param firstCircuit its name where the vehicle has more than one */
export function readingView(reading: ShownReading, firstCircuit: CircuitName | null): ReadingView {
  const { id, kind, takenAt, jobReportId, evaluation, voidedAt, reEvaluations = [] } = reading;
  // As it was typed, but for the circuit, which is told by the name that it has now.
  const { circuit: _typed, ...typed } = reading.typed;
  const circuit = hasCircuit(kind) ? (reading.circuit ?? firstCircuit) : null;
  return {
    id,
    ...typed,
    ...(circuit !== null && { circuit }),
    kind: kind as ReadingKind,
    takenAt: takenAt.toISOString(),
    jobReportId,
    evaluation: shownEvaluation(evaluation),
    reEvaluations,
    voided: voidedAt !== null,
  };
}

/** Shows an outcome in a response. */
export function shownOutcome({ followUps, held, ...rest }: JobOutcome): ShownOutcome {
  return {
    ...rest,
    followUps: followUps.map((line) => ({ ...line, causes: shownMessages(line.causes) })),
    held: held.map((part) => ({
      pointer: part.pointer,
      value: asPosted(part.value),
      faults: part.faults.map(({ pointer, message }) => ({ pointer, message: shownMessage(message) })),
    })),
  };
}

type ShownOutcome = Omit<JobOutcome, 'followUps' | 'held'> & {
  followUps: OpenedLineView[];
  held: HeldPartView[];
};

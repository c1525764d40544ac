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
import type { ReadingKind } from '../../domain/readings/kinds.js';

/** The stored values from which a reading is shown. */
export interface ShownReading {
  id: string;
  kind: string;
  takenAt: Date;
  jobReportId: string | null;
  typed: Record<string, unknown>;
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

export function readingView({
  id,
  kind,
  takenAt,
  jobReportId,
  typed,
  evaluation,
  voidedAt,
  reEvaluations = [],
}: ShownReading): ReadingView {
  return {
    id,
    ...typed,
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

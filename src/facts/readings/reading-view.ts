import type { Evaluation } from '../../domain/evaluation/evaluation.js';
import type { ReadingView, ReEvaluationView } from './reading.dto.js';
import type { ReadingKind } from '../../domain/readings/kinds.js';

/** What a stored reading is shown from. */
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
    evaluation,
    reEvaluations,
    voided: voidedAt !== null,
  };
}

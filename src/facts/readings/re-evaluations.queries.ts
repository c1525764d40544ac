import { type EntityManager, In } from 'typeorm';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { shownEvaluation } from './reading-view.js';
import type { ReEvaluationView } from './reading.dto.js';
import { ReEvaluation } from '../../entities/re-evaluation.entity.js';

/** The later verdicts on the given readings, by reading, in order of time. */
export async function reEvaluationsOf(
  manager: EntityManager,
  readings: readonly { id: string }[],
): Promise<Map<string, ReEvaluationView[]>> {
  const found = new Map<string, ReEvaluationView[]>();
  if (readings.length === 0) return found;
  const rows = await manager.find(ReEvaluation, {
    where: { fleetId: fleetScope().fleetId, readingId: In(readings.map(({ id }) => id)) },
    order: { judgedAt: 'ASC', id: 'ASC' },
  });
  for (const { readingId, judgedAt, why, evaluation } of rows) {
    const view = { judgedAt: judgedAt.toISOString(), why, evaluation: shownEvaluation(evaluation) };
    found.set(readingId, [...(found.get(readingId) ?? []), view]);
  }
  return found;
}

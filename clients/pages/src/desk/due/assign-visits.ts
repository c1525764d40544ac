import type { components } from '../../../../typescript/src/client.js';
import type { DueLine } from '../../kit/due/due-line.js';
import { service } from '../../kit/service/session.js';

/** A line that is on a visit. */
export type BookedLine = DueLine & { visit: NonNullable<DueLine['visit']> };

type Result = components['schemas']['ManyLinesResult'];

/** The visits of some lines, each once. */
export const visitsOf = (lines: readonly BookedLine[]): string[] => [
  ...new Set(lines.map(({ visit }) => visit.id)),
];

/**
 * Assigns the visits of some lines to a person, or to nobody any more.
 *
 * @param ids of the lines
 * @returns for each line what became of its visit
 */
export async function assignVisits(
  lines: readonly BookedLine[],
  ids: ReadonlySet<string>,
  personId: string | null,
): Promise<Result> {
  const own = lines.filter(({ id }) => ids.has(id));
  const { data } = await service().post('/v1/visits/assign', { body: { ids: visitsOf(own), personId } });
  const outcomes = new Map(data.results.map((outcome) => [outcome.id, outcome]));
  const results = own.flatMap((line) => {
    const outcome = outcomes.get(line.visit.id);
    if (outcome === undefined) return [];
    const { status, problem, visit } = outcome;
    if (visit === undefined) return [{ id: line.id, status, ...(problem && { problem }) }];
    const assignedTo = visit.assignedTo?.id ?? null;
    return [{ id: line.id, status, line: { ...line, visit: { ...line.visit, assignedTo } } }];
  });
  const done = results.filter(({ status }) => status === 200).length;
  return { results, done, refused: results.length - done };
}

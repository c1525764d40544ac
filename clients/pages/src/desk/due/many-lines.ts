import { ProblemError } from '../../../../typescript/src/client.js';
import type { components } from '../../../../typescript/src/client.js';
import { type DueLine, workInWords } from '../../kit/due/due-line.js';

/** A line, as it is named to the reader. */
export interface NamedLine {
  id: string;
  unit: string;
  work: string;
}

export const named = (line: DueLine): NamedLine => ({
  ...{ id: line.id, unit: line.vehicle.unitNumber, work: workInWords(line) },
});

/** What became of a line. */
export type Outcome = { line: NamedLine; now: DueLine } | { line: NamedLine; problem: unknown };

type Result = components['schemas']['ManyLinesResult'];
type Problem = components['schemas']['Problem'];

/** Lines of one request, at most. */
const AT_ONCE = 200;

/**
 * Does the same to many lines, and says of each what became of it. A request that is refused as a
 * whole, or never answered, leaves all its lines as they were.
 *
 * @param ask sends one request
 */
export async function doToLines(
  lines: readonly NamedLine[],
  ask: (ids: string[]) => Promise<Result>,
): Promise<Outcome[]> {
  const outcomes: Outcome[] = [];
  for (let at = 0; at < lines.length; at += AT_ONCE) {
    const some = lines.slice(at, at + AT_ONCE);
    try {
      const { results } = await ask(some.map(({ id }) => id));
      const ofLine = new Map(results.map((result) => [result.id, result]));
      outcomes.push(...some.map((line) => outcomeOf(line, ofLine.get(line.id))));
    } catch (problem) {
      outcomes.push(...some.map((line) => ({ line, problem })));
    }
  }
  return outcomes;
}

function outcomeOf(line: NamedLine, result: Result['results'][number] | undefined): Outcome {
  if (result?.line !== undefined) return { line, now: result.line };
  const { problem } = result ?? {};
  return { line, problem: problem && new ProblemError(problem as unknown as Problem, new Headers()) };
}

export const isDone = (outcome: Outcome): outcome is { line: NamedLine; now: DueLine } => 'now' in outcome;

export const problemsOf = (outcomes: readonly Outcome[]): unknown[] =>
  outcomes.flatMap((outcome) => (isDone(outcome) ? [] : [outcome.problem]));

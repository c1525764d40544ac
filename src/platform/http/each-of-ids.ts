import type { Logger } from '@nestjs/common';
import { shownFault } from '../problems/problem.js';
import { fleetScope, inFleet } from '../scope/fleet-scope.js';
import type { Reader } from '../words/render.js';
import { problemOf } from './problem.filter.js';

/** What became of one record of many. */
export interface Outcome<View> {
  id: string;
  status: number;
  view?: View;
  problem?: Record<string, unknown>;
}

/** The same to be done to many records. */
export interface EachOfIds<View> {
  ids: readonly string[];
  act: (id: string) => Promise<View>;
  /** Where one record would have been sent alone. */
  pathOf: (id: string) => string;
  logger: Logger;
}

/**
 * Does the same to many records, each in a transaction of its own, so that one that is refused
 * keeps no other from being done.
 *
 * @param reader of the problems of single records
 * @returns what became of each, in the order of the ids
 */
export async function eachOfIds<View>(
  { ids, act, pathOf, logger }: EachOfIds<View>,
  reader: Reader,
): Promise<Outcome<View>[]> {
  const results: Outcome<View>[] = [];
  for (const [index, id] of ids.entries()) {
    try {
      results.push({ id, status: 200, view: await actOnOne(id, act) });
    } catch (error) {
      results.push({ id, ...refusal(error, { index, path: pathOf(id), logger }, reader) });
    }
  }
  return results;
}

function refusal(
  error: unknown,
  { index, path, logger }: { index: number; path: string; logger: Logger },
  reader: Reader,
): { status: number; problem: Record<string, unknown> } {
  const problem = problemOf(error);
  // A 503, or a fault in the headers, is about the whole request, which must be sent again.
  if (problem.status === 503 || problem.errors.some(({ header }) => header !== undefined)) throw error;
  if (problem.status >= 500) logger.error(`${path}: ${error instanceof Error ? error.stack : String(error)}`);
  const own = { pointer: `/ids/${index}`, detail: problem.detail };
  const errors = (problem.errors.length > 0 ? problem.errors : [own]).map((fault) =>
    shownFault(fault, reader),
  );
  return { status: problem.status, problem: { ...problem.toBody(path, reader), errors } };
}

/** An idempotency key covers the whole request. With its id, no record gets another's answer. */
function actOnOne<View>(id: string, act: (id: string) => Promise<View>): Promise<View> {
  const scope = fleetScope();
  const idempotency = scope.idempotency && {
    ...scope.idempotency,
    operation: `${scope.idempotency.operation} ${id}`,
  };
  return inFleet({ ...scope, idempotency }, () => act(id));
}

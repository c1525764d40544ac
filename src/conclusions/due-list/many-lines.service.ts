import { Injectable, Logger } from '@nestjs/common';
import { problemOf } from '../../platform/http/problem.filter.js';
import { shownFault } from '../../platform/problems/problem.js';
import { fleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import type { Reader } from '../../platform/words/render.js';
import type { DueLineView } from './due-line-view.js';
import type { PostponeManyInput, WithdrawManyInput } from './many-lines.dto.js';
import { PostponingService } from './postponing.service.js';
import { WithdrawingService } from './withdrawing.service.js';

/** What became of one line of many. */
export interface LineOutcome {
  id: string;
  status: number;
  line?: DueLineView;
  problem?: Record<string, unknown>;
}

export interface ManyOutcomes {
  results: LineOutcome[];
  done: number;
  refused: number;
}

/**
 * Does the same to many due lines, each in a transaction of its own, so that one that is refused
 * keeps no other from being done. The answer says of each line what became of it.
 */
@Injectable()
export class ManyLinesService {
  private readonly logger = new Logger('due-list');

  constructor(
    private readonly postponing: PostponingService,
    private readonly withdrawing: WithdrawingService,
  ) {}

  /** @param reader of the problems of single lines */
  postpone({ ids, ...input }: PostponeManyInput, reader: Reader): Promise<ManyOutcomes> {
    return this.each(ids, 'postpone', (id) => this.postponing.postpone(id, input), reader);
  }

  /** @param reader of the problems of single lines */
  withdraw({ ids, reason }: WithdrawManyInput, reader: Reader): Promise<ManyOutcomes> {
    return this.each(ids, 'withdraw-postponement', (id) => this.withdrawing.withdraw(id, reason), reader);
  }

  private async each(
    ids: readonly string[],
    operation: string,
    act: (id: string) => Promise<DueLineView>,
    reader: Reader,
  ): Promise<ManyOutcomes> {
    const results: LineOutcome[] = [];
    for (const [index, id] of ids.entries()) {
      try {
        results.push({ id, status: 200, line: await actOnOne(id, act) });
      } catch (error) {
        results.push({
          id,
          ...this.refusal(error, { index, path: `/v1/due-list/${id}/${operation}` }, reader),
        });
      }
    }
    const done = results.filter(({ status }) => status === 200).length;
    return { results, done, refused: results.length - done };
  }

  private refusal(
    error: unknown,
    { index, path }: { index: number; path: string },
    reader: Reader,
  ): Pick<LineOutcome, 'status' | 'problem'> {
    const problem = problemOf(error);
    // A 503, or a fault in the headers, is about the whole request, which must be sent again.
    if (problem.status === 503 || problem.errors.some(({ header }) => header !== undefined)) throw error;
    if (problem.status >= 500)
      this.logger.error(`${path}: ${error instanceof Error ? error.stack : String(error)}`);
    const faults =
      problem.errors.length > 0 ? problem.errors : [{ pointer: `/ids/${index}`, detail: problem.detail }];
    const errors = faults.map((fault) => shownFault(fault, reader));
    return { status: problem.status, problem: { ...problem.toBody(path, reader), errors } };
  }
}

/** An idempotency key covers the whole request. With the line's id, no line gets another's answer. */
function actOnOne(id: string, act: (id: string) => Promise<DueLineView>): Promise<DueLineView> {
  const scope = fleetScope();
  const idempotency = scope.idempotency && {
    ...scope.idempotency,
    operation: `${scope.idempotency.operation} ${id}`,
  };
  return inFleet({ ...scope, idempotency }, () => act(id));
}

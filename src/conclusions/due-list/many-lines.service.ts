import { Injectable, Logger } from '@nestjs/common';
import { eachOfIds } from '../../platform/http/each-of-ids.js';
import type { Reader } from '../../platform/words/render.js';
import type { DueLineView } from './due-line-view.js';
import type { ManyLinesResult, PostponeManyInput, WithdrawManyInput } from './many-lines.dto.js';
import { PostponingService } from './postponing.service.js';
import { WithdrawingService } from './withdrawing.service.js';

/** Does the same to many due lines, each by itself. */
@Injectable()
export class ManyLinesService {
  private readonly logger = new Logger('due-list');

  constructor(
    private readonly postponing: PostponingService,
    private readonly withdrawing: WithdrawingService,
  ) {}

  /** @param reader of the problems of single lines */
  postpone({ ids, ...input }: PostponeManyInput, reader: Reader): Promise<ManyLinesResult> {
    return this.each(ids, 'postpone', (id) => this.postponing.postpone(id, input), reader);
  }

  /** @param reader of the problems of single lines */
  withdraw({ ids, reason }: WithdrawManyInput, reader: Reader): Promise<ManyLinesResult> {
    return this.each(ids, 'withdraw-postponement', (id) => this.withdrawing.withdraw(id, reason), reader);
  }

  private async each(
    ids: readonly string[],
    operation: string,
    act: (id: string) => Promise<DueLineView>,
    reader: Reader,
  ): Promise<ManyLinesResult> {
    const pathOf = (id: string): string => `/v1/due-list/${id}/${operation}`;
    const outcomes = await eachOfIds({ ids, act, pathOf, logger: this.logger }, reader);
    const done = outcomes.filter(({ status }) => status === 200).length;
    const results = outcomes.map(({ view: line, ...outcome }) => ({ ...outcome, ...(line && { line }) }));
    return { results, done, refused: results.length - done };
  }
}

import { Injectable, Logger } from '@nestjs/common';
import { postEach } from '../../platform/http/batch.js';
import type { Reader } from '../../platform/words/render.js';
import { DefectInput } from './defect-input.dto.js';
import type { DefectBatchResult } from './defect.dto.js';
import { DefectsService } from './defects.service.js';

/** Accepts the defects that a phone collected without a network connection. */
@Injectable()
export class DefectBatchService {
  private readonly logger = new Logger('defects');

  constructor(private readonly defects: DefectsService) {}

  /** @param reader of the problems of single defects */
  async post(body: unknown, reader: Reader): Promise<DefectBatchResult> {
    const results = await postEach(
      body,
      {
        field: 'defects',
        ...{ path: '/v1/defects/batch', record: 'defect', input: DefectInput },
        post: (input) => this.defects.post(input),
        logger: this.logger,
      },
      reader,
    );
    return {
      results: results.map(({ view, ...result }) =>
        view === undefined ? result : { ...result, defect: view },
      ),
    };
  }
}

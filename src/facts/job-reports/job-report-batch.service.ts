import { Injectable, Logger } from '@nestjs/common';
import { postEach } from '../../platform/http/batch.js';
import type { Reader } from '../../platform/words/render.js';
import { type JobReportBatchResult, JobReportInput } from './job-report.dto.js';
import { JobReportsService } from './job-reports.service.js';

/** Accepts the reports that a mechanic collected without a network connection. */
@Injectable()
export class JobReportBatchService {
  private readonly logger = new Logger('job-reports');

  constructor(private readonly reports: JobReportsService) {}

  /** @param reader of the problems of single reports */
  async post(body: unknown, reader: Reader): Promise<JobReportBatchResult> {
    const results = await postEach(
      body,
      {
        field: 'reports',
        ...{ path: '/v1/job-reports/batch', record: 'report', input: JobReportInput },
        post: (input) => this.reports.post(input, true),
        logger: this.logger,
      },
      reader,
    );
    return {
      results: results.map(({ view, ...result }) =>
        view === undefined ? result : { ...result, report: view },
      ),
    };
  }
}

import { Injectable, Logger } from '@nestjs/common';
import { fleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { escapePointer, inspectBody } from '../../platform/input/json-body.js';
import { type FieldFault, shownFault, MOST_FAULTS, unacceptable } from '../../platform/problems/problem.js';
import { problemOf } from '../../platform/http/problem.filter.js';
import { objectNeeded, validated } from '../../platform/input/validation.pipe.js';
import { type JobReportBatchItem, type JobReportBatchResult, JobReportInput } from './job-report.dto.js';
import { JobReportsService } from './job-reports.service.js';
import type { Reader } from '../../platform/words/render.js';
import { unknownField } from '../../platform/fields/wording.js';
import { message } from './baseline-messages.js';

export const MAX_BATCH = 200;

/**
 * Accepts the reports that a mechanic collected without a network connection. Each is handled by
 * itself, one after the other.
 */
@Injectable()
export class JobReportBatchService {
  private readonly logger = new Logger('job-reports');

  constructor(private readonly reports: JobReportsService) {}

  /** @param reader of the problems of single reports */
  async post(body: unknown, reader: Reader): Promise<JobReportBatchResult> {
    const reports = reportsOf(body);
    const results: JobReportBatchItem[] = [];
    let faults = 0;
    for (const [index, raw] of reports.entries()) {
      try {
        results.push({ index, ...(await this.postOne(raw, index)) });
      } catch (error) {
        // At least one fault of each report is named, because the sender handles each report by
        // itself.
        const item = this.batchProblem(error, index, Math.max(1, MOST_FAULTS - faults), reader);
        faults += item.problem.errors.length;
        results.push(item);
      }
    }
    return { results };
  }

  private async postOne(raw: unknown, index: number): Promise<Omit<JobReportBatchItem, 'index'>> {
    inspectBody(raw);
    const input = await validated(JobReportInput, raw);
    const scope = fleetScope();
    // An idempotency key covers the whole batch. Adding the report's index keeps the second report
    // from getting the response of the first.
    const idempotency = scope.idempotency && {
      ...scope.idempotency,
      operation: `${scope.idempotency.operation} ${index}`,
    };
    const { body: report, status } = await inFleet({ ...scope, idempotency }, () =>
      this.reports.post(input, true),
    );
    return { status, report };
  }

  /** @param most how many faults to name; the number of further ones is given */
  private batchProblem(error: unknown, index: number, most: number, reader: Reader) {
    const problem = problemOf(error);
    // A 503, or a fault in the batch's headers, is not the result of one report. The whole batch
    // must be sent again.
    if (problem.status === 503 || problem.errors.some(({ header }) => header !== undefined)) throw error;
    // A bug in the service that one report triggers must not block the reports after it, now and at
    // every retry.
    if (problem.status >= 500)
      this.logger.error(
        `report ${index} of a batch: ${error instanceof Error ? error.stack : String(error)}`,
      );
    const errors = problem.errors
      .slice(0, most)
      .map((fault): FieldFault =>
        fault.pointer === undefined ? fault : { ...fault, pointer: `/reports/${index}${fault.pointer}` },
      );
    const body = problem.toBody('/v1/job-reports/batch', reader);
    const leftOut = Number(body.errorsLeftOut ?? 0) + problem.errors.length - errors.length;
    const told = {
      ...body,
      errors: errors.map((fault) => shownFault(fault, reader)),
      ...(leftOut > 0 ? { errorsLeftOut: leftOut } : {}),
    };
    return { index, status: problem.status, problem: told };
  }
}

function reportsOf(body: unknown): unknown[] {
  if (typeof body !== 'object' || body === null || Array.isArray(body))
    throw unacceptable([{ pointer: '', detail: objectNeeded() }]);
  const unknown = Object.keys(body).find((key) => key !== 'reports');
  if (unknown !== undefined) {
    const pointer = `/${escapePointer(unknown)}`;
    throw unacceptable([{ pointer, detail: unknownField() }]);
  }
  const { reports } = body as { reports?: unknown };
  if (!Array.isArray(reports) || reports.length === 0 || reports.length > MAX_BATCH)
    throw unacceptable([{ pointer: '/reports', detail: message('batch-not-a-list', { most: MAX_BATCH }) }]);
  return reports as unknown[];
}

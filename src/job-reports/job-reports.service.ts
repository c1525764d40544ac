import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager, In } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../conclusions/conclusions.service.js';
import { Clock } from '../platform/clock/clock.js';
import { fleetScope } from '../platform/database/fleet-scope.js';
import { rowOf } from '../platform/database/records.js';
import { Transactions, type Written } from '../platform/database/transactions.js';
import { canonicalOf } from '../platform/http/fields.js';
import {
  decodeCursor,
  filterDigest,
  INSTANT_PATTERN,
  type Page,
  pageOf,
  pageSize,
  UUID_PATTERN,
} from '../platform/http/pages.js';
import { conflict, type FieldFault, notFound, Problem, unacceptable } from '../platform/http/problem.js';
import { problemOf } from '../platform/http/problem.filter.js';
import { validated } from '../platform/http/validation.pipe.js';
import { type HeldPart, readReadings } from '../readings/judge-readings.js';
import { Reading } from '../readings/reading.entity.js';
import { reEvaluationsOf } from '../readings/re-evaluations.queries.js';
import { lockSurroundings, type Surroundings } from '../readings/recording.queries.js';
import type { OccasionJob } from '../readings/occasion.js';
import { RecordingService } from '../readings/recording.service.js';
import { ReminderSweeps } from '../reminders/reminder-sweeps.js';
import { lockVehicles } from '../usage/usage.queries.js';
import type {
  JobReportBatchItem,
  JobReportBatchResult,
  JobReportQuery,
  JobReportView,
} from './job-report.dto.js';
import { JobReportInput } from './job-report.dto.js';
import { columnsOf, hashOf, itemFault, lineOf } from './job-report-content.js';
import { freshView, viewOf } from './job-report-view.js';
import { JobLine, JobReport } from './job-report.entity.js';

/** A phone's clock may be this far ahead. */
const CLOCK_TOLERANCE_MS = 10 * 60_000;
const MAX_BATCH = 200;

@Injectable()
export class JobReportsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly recording: RecordingService,
    private readonly conclusions: ConclusionsService,
    private readonly sweeps: ReminderSweeps,
    private readonly clock: Clock,
  ) {}

  /** Records a completed job. A report that is known already is answered as the first time. */
  async post(input: JobReportInput, isLenient = false): Promise<Required<Written<JobReportView>>> {
    const raws = input.readings ?? [];
    const readings = await readReadings(
      raws,
      raws.map((_, index) => `/readings/${index}`),
    );
    const written = await this.transactions.writeWith(async (tx): Promise<Written<JobReportView>> => {
      const { fleetId } = fleetScope();
      const reportId = input.id?.toLowerCase() ?? null;
      const vehicleId = input.vehicleId.toLowerCase();
      const surroundings = await lockSurroundings(
        tx,
        fleetId,
        vehicleId,
        input.workedAtDepotId ?? null,
        reportId,
      );
      if (!surroundings)
        throw unacceptable([{ pointer: '/vehicleId', detail: 'there is no such vehicle in this fleet' }]);
      const hash = hashOf(input);
      if (reportId !== null && surroundings.known_hash) {
        if (!surroundings.known_hash.equals(hash)) throw reportIdTaken();
        return { body: await this.view(tx, reportId), status: 200 };
      }
      const { lines, held } = this.checked(input, surroundings, isLenient);
      const job = { id: reportId ?? uuidv7(), lines, columns: columnsOf(input, hash) };
      const recorded = await this.recording.record(
        tx,
        {
          vehicleId,
          at: new Date(input.performedAt),
          odometerKm: canonicalOf('distance', input.odometer),
          odometerUnit: input.odometer?.unit ?? null,
          engineHours: canonicalOf('engine-hours', input.engineHours),
          elevationM: canonicalOf('elevation', input.elevation),
          readings,
          isLenient,
          job,
          held,
        },
        surroundings,
      );
      return { body: freshView(input, job, recorded), status: 201 };
    });
    this.sweeps.afterCommit(fleetScope().fleetId, [written.body.vehicleId]);
    return written;
  }

  /** Takes what a mechanic collected out of reach of a network: each report by itself, one after the other. */
  async postBatch(body: unknown): Promise<JobReportBatchResult> {
    const reports = (body as { reports?: unknown } | null)?.reports;
    if (!Array.isArray(reports) || reports.length === 0 || reports.length > MAX_BATCH) {
      throw unacceptable([{ pointer: '/reports', detail: `must be a list of 1 to ${MAX_BATCH} reports` }]);
    }
    const results: JobReportBatchItem[] = [];
    for (const [index, raw] of reports.entries()) {
      try {
        const { body: report, status } = await this.post(await validated(JobReportInput, raw), true);
        results.push({ index, status, report });
      } catch (error) {
        results.push(batchProblem(error, index));
      }
    }
    return { results };
  }

  async get(id: string): Promise<JobReportView> {
    return this.view(this.dataSource.manager, id);
  }

  async list(query: JobReportQuery): Promise<Page<JobReportView>> {
    const { fleetId } = fleetScope();
    const limit = pageSize(query.limit);
    const digest = filterDigest({ list: 'job-reports', vehicleId: query.vehicleId });
    const after = decodeCursor(query.cursor, digest, [INSTANT_PATTERN, UUID_PATTERN]);
    const manager = this.dataSource.manager;
    const builder = manager
      .createQueryBuilder(JobReport, 'r')
      .where('r.fleetId = :fleetId', { fleetId })
      .orderBy('r.performedAt', 'DESC')
      .addOrderBy('r.id', 'DESC')
      .limit(limit + 1);
    if (query.vehicleId) builder.andWhere('r.vehicleId = :vehicleId', { vehicleId: query.vehicleId });
    if (after)
      builder.andWhere('(r.performedAt, r.id) < (:afterAt, :afterId)', {
        afterAt: after[0],
        afterId: after[1],
      });
    const reports = await builder.getMany();
    const views = await this.views(manager, reports);
    return pageOf(
      reports,
      limit,
      (row) => [row.performedAt.toISOString(), row.id],
      digest,
      (row) => views.get(row.id) as JobReportView,
    );
  }

  /** Takes a job back: what it reset counts from before again. */
  async void(id: string, reason: string): Promise<JobReportView> {
    const view = await this.transactions.write(async (tx) => {
      const { fleetId } = fleetScope();
      const found = await rowOf(tx, JobReport, id, 'job report');
      await lockVehicles(tx, fleetId, [found.vehicleId], []);
      const report = await rowOf(tx, JobReport, id, 'job report');
      if (report.voidedAt) {
        if (report.voidReason === reason) return this.view(tx, id);
        throw conflict('already-voided', `This report was voided already: ${report.voidReason}`);
      }
      const voidedAt = this.clock.now();
      await tx.update(JobReport, { fleetId, id }, { voidedAt, voidReason: reason });
      await tx.update(Reading, { fleetId, jobReportId: id }, { voidedAt });
      await tx.query(
        `update usage_readings set decision = 'voided', decided_at = $3 where fleet_id = $1 and job_report_id = $2`,
        [fleetId, id, voidedAt],
      );
      await tx.query('update completions set voided = true where fleet_id = $1 and job_report_id = $2', [
        fleetId,
        id,
      ]);
      await this.conclusions.refresh(tx, [{ vehicleId: report.vehicleId, usageFrom: report.performedAt }]);
      return this.view(tx, id);
    });
    this.sweeps.afterCommit(fleetScope().fleetId, [view.vehicleId]);
    return view;
  }

  /** What the rest of the report must agree with: the vehicle's sheet, the clock, the depots. */
  private checked(
    input: JobReportInput,
    surroundings: Surroundings,
    isLenient: boolean,
  ): { lines: OccasionJob['lines']; held: HeldPart[] } {
    const faults: FieldFault[] = [];
    const performedAt = new Date(input.performedAt).getTime();
    const now = this.clock.now();
    if (performedAt > now.getTime() + CLOCK_TOLERANCE_MS) {
      faults.push({
        pointer: '/performedAt',
        detail: `is ahead of the time here, ${now.toISOString()}: is the clock of the device right?`,
      });
    }
    if (input.workedAtDepotId && !surroundings.worked_at_found)
      faults.push({ pointer: '/workedAtDepotId', detail: 'there is no such depot in this fleet' });
    if ((input.lines ?? []).length === 0 && (input.readings ?? []).length === 0)
      faults.push({ pointer: '/lines', detail: 'is empty, and there are no readings: what was done?' });
    const lines: OccasionJob['lines'] = [];
    const held: HeldPart[] = [];
    for (const [position, line] of (input.lines ?? []).entries()) {
      const fault = itemFault(line, surroundings.belts ?? []);
      if (fault === null) lines.push(lineOf(line, position));
      else if (isLenient) held.push({ pointer: `/lines/${position}`, detail: fault, value: line });
      else faults.push({ pointer: `/lines/${position}/item`, detail: fault });
    }
    if (faults.length > 0) throw unacceptable(faults);
    return { lines, held };
  }

  private async view(manager: EntityManager, id: string): Promise<JobReportView> {
    const report = await manager.findOneBy(JobReport, { fleetId: fleetScope().fleetId, id });
    if (!report) throw notFound('job report');
    return (await this.views(manager, [report])).get(id) as JobReportView;
  }

  private async views(manager: EntityManager, reports: JobReport[]): Promise<Map<string, JobReportView>> {
    if (reports.length === 0) return new Map();
    const where = { fleetId: fleetScope().fleetId, jobReportId: In(reports.map((report) => report.id)) };
    const lines = await manager.find(JobLine, { where, order: { position: 'ASC' } });
    const found = await manager.find(Reading, { where, order: { position: 'ASC' } });
    const judgedAnew = await reEvaluationsOf(manager, found);
    const readings = found.map((reading) => ({ ...reading, reEvaluations: judgedAnew.get(reading.id) }));
    return new Map(
      reports.map((report) => [
        report.id,
        viewOf(
          report,
          lines.filter((line) => line.jobReportId === report.id),
          readings.filter((reading) => reading.jobReportId === report.id),
        ),
      ]),
    );
  }
}

function reportIdTaken(): Problem {
  return conflict(
    'report-id-taken',
    'There is another report of this id, with other content. Use a new id for a new report.',
    [{ pointer: '/id', detail: 'belongs to a report with other content' }],
  );
}

function batchProblem(error: unknown, index: number): JobReportBatchItem {
  const problem = problemOf(error);
  // What is nobody's fault is not an answer to one report: the whole batch is to be sent again.
  if (problem.status >= 500) throw error;
  const errors = problem.errors.map((fault) =>
    fault.pointer === undefined ? fault : { ...fault, pointer: `/reports/${index}${fault.pointer}` },
  );
  return { index, status: problem.status, problem: { ...problem.toBody('/v1/job-reports/batch'), errors } };
}

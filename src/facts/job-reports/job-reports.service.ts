import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { CLOCK_TOLERANCE_MS, clockOff, deviceAheadMs } from '../../domain/calendar/device-clock.js';
import type { Message } from '../../domain/message.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { rowOf, readPage } from '../../platform/database/records.js';
import { Transactions, type Written } from '../../platform/database/transactions.js';
import { reportIdTaken } from '../../platform/problems/constraint-problems.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { Page } from '../../platform/pages/pages.js';
import { conflict, type FieldFault, unacceptable, noSuch } from '../../platform/problems/problem.js';
import { readReadings } from '../readings/judge-readings.js';
import type { Occasion, OccasionJob } from '../readings/occasion.js';
import { lockSurroundings, type Surroundings } from '../readings/recording.queries.js';
import { RecordingService } from '../readings/recording.service.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { circuitsOf, namedFirst } from '../readings/circuits-of-vehicle.js';
import { columnsOf, hashOf, lineFault, lineOf } from './job-report-content.js';
import { repairedDefectsOf } from './repaired-defects.js';
import { filtersOf, narrowReports } from './job-report-list.js';
import { shownReport, shownReports } from './job-report-rows.js';
import { freshView } from './job-report-view.js';
import type { JobReportInput, JobReportQuery, JobReportView } from './job-report.dto.js';
import { type HeldPart, JobReport } from '../../entities/job-report.entity.js';
import { message } from './messages.js';
import { voidReasonTold } from '../../platform/words/void-reason.js';
import { VoidingService } from './voiding.service.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';

const NEWEST_FIRST = new Keyset('job-reports', { performedAt: KEY.instant, id: KEY.uuid });

@Injectable()
export class JobReportsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly recording: RecordingService,
    private readonly voiding: VoidingService,
    private readonly clock: Clock,
  ) {}

  /** Records a completed job. If the report is already known, returns the first response again. */
  async post(input: JobReportInput, isLenient = false): Promise<Required<Written<JobReportView>>> {
    const raws = input.readings ?? [];
    const readings = await readReadings(
      raws,
      raws.map((_, index) => `/readings/${index}`),
    );
    return this.transactions
      .ofVehicle(input.vehicleId.toLowerCase())
      .writeWith((tx) => this.record(tx, input, readings, isLenient), 'once');
  }

  private async record(
    tx: EntityManager,
    input: JobReportInput,
    readings: Occasion['readings'],
    isLenient: boolean,
  ): Promise<Written<JobReportView>> {
    const { fleetId } = fleetScope();
    const vehicleId = input.vehicleId.toLowerCase();
    const reportId = input.id?.toLowerCase() ?? null;
    const replacedId = input.supersedes?.toLowerCase() ?? null;
    const replaced = replacedId && (await this.voiding.lockReplaced(tx, replacedId, vehicleId));
    const workedAt = input.workedAtDepotId ?? null;
    const surroundings = await lockSurroundings(
      tx,
      fleetId,
      vehicleId,
      workedAt,
      reportId,
      input.repairedDefects ?? [],
    );
    if (!surroundings)
      throw unacceptable([{ pointer: '/vehicleId', detail: message('job-vehicle-unknown') }]);
    const hash = hashOf(input);
    if (reportId !== null && surroundings.known_hash) {
      if (!surroundings.known_hash.equals(hash)) throw reportIdTaken();
      return { body: await shownReport(tx, reportId), status: 200 };
    }
    const { lines, repairedDefects, held } = this.checked(input, surroundings, isLenient);
    if (replacedId !== null && !replaced)
      throw unacceptable([{ pointer: '/supersedes', detail: message('job-supersedes-unknown') }]);
    if (replaced) this.voiding.assertReplaceable(replaced);
    const job = { id: reportId ?? uuidv7(), lines, repairedDefects, columns: columnsOf(input, hash) };
    if (replaced) await this.voiding.replace(tx, replaced, job.id);
    const occasion = { ...occasionOf(input), readings, isLenient, job, held };
    const recorded = await this.recording.record(tx, occasion, surroundings);
    if (replaced) await this.voiding.noteReplaced(tx, replaced, job.id);
    return { body: freshView(input, job, recorded, namedFirst(circuitsOf(surroundings))), status: 201 };
  }

  async get(id: string): Promise<JobReportView> {
    return shownReport(this.dataSource.manager, id);
  }

  async list(query: JobReportQuery): Promise<Page<JobReportView>> {
    const { fleetId, timeZone } = fleetScope();
    const filters = filtersOf(query);
    const page = NEWEST_FIRST.page(query, { ...filters });
    const manager = this.dataSource.manager;
    const builder = manager.createQueryBuilder(JobReport, 'r').where('r.fleetId = :fleetId', { fleetId });
    narrowReports(builder, filters, timeZone);
    const reports = await readPage(builder, page, 'DESC');
    const views = await shownReports(manager, reports);
    return page.of(reports, (row) => views.get(row.id) as JobReportView);
  }

  /** Voids a report. The lines that it reset count from earlier work again. */
  async void(id: string, reason: string): Promise<JobReportView> {
    const transactions = await this.transactions.ofVehicleWith(JobReport, id);
    return transactions.write(async (tx) => {
      const { fleetId } = fleetScope();
      const found = await rowOf(tx, JobReport, id, 'job report');
      await lockVehicles(tx, fleetId, [found.vehicleId], []);
      const report = await rowOf(tx, JobReport, id, 'job report');
      if (report.voidedAt) {
        if (report.voidReason === reason) return shownReport(tx, id);
        throw conflict(
          'already-voided',
          message('job-already-voided', { reason: voidReasonTold(report.voidReason) }),
        );
      }
      await this.voiding.void(tx, report, reason);
      return shownReport(tx, id);
    });
  }

  /**
   * Checks the lines against the vehicle's spec sheet, the time against the clock, and the depot.
   */
  private checked(
    input: JobReportInput,
    surroundings: Surroundings,
    isLenient: boolean,
  ): Pick<OccasionJob, 'lines' | 'repairedDefects'> & { held: HeldPart[] } {
    const faults: FieldFault[] = [];
    const performedAt = new Date(input.performedAt).getTime();
    const now = this.clock.now();
    if (performedAt > now.getTime() + CLOCK_TOLERANCE_MS) {
      faults.push({ pointer: '/performedAt', detail: performedAhead(input, now) });
    }
    if (input.workedAtDepotId && !surroundings.worked_at_found)
      faults.push({ pointer: '/workedAtDepotId', detail: noSuch('depot') });
    const repairs = repairedDefectsOf(input, surroundings.known_defects);
    if (!isLenient) faults.push(...repairs.faults);
    const isEmpty = [input.lines, input.readings, input.repairedDefects].every(
      (list) => (list ?? []).length === 0,
    );
    if (isEmpty) faults.push({ pointer: '/lines', detail: message('job-nothing-done') });
    const lines: OccasionJob['lines'] = [];
    const held: HeldPart[] = repairs.held;
    const circuits = circuitsOf(surroundings);
    for (const [position, line] of (input.lines ?? []).entries()) {
      const fault = lineFault(line, surroundings.belts ?? [], circuits);
      const pointer = `/lines/${position}`;
      if (fault === null) lines.push(lineOf(line, position, circuits));
      else if (isLenient) held.push(heldLine(pointer, fault, line));
      else faults.push({ pointer: `${pointer}/${fault.field}`, detail: fault.detail });
    }
    if (faults.length > 0) throw unacceptable(faults);
    return { lines, repairedDefects: repairs.good, held };
  }
}

/** Where and when the job was done, and the counters at that time. */
function occasionOf(input: JobReportInput) {
  return {
    vehicleId: input.vehicleId.toLowerCase(),
    at: new Date(input.performedAt),
    odometerKm: canonicalOf('distance', input.odometer),
    odometerUnit: input.odometer?.unit ?? null,
    engineHours: canonicalOf('engine-hours', input.engineHours),
    elevationM: canonicalOf('elevation', input.elevation),
  };
}

/**
 * Message for a job in the future. If `sentAt` shows that the device's clock is wrong, the message
 * says by how much.
 */
function performedAhead({ performedAt, sentAt }: JobReportInput, now: Date): Message {
  const aheadMs = sentAt ? deviceAheadMs(Date.parse(sentAt), now.getTime()) : null;
  const clock = aheadMs === null ? 'unknown' : 'known';
  return message('job-performed-ahead', {
    performedAt,
    now: now.toISOString(),
    clock,
    ...clockOff(aheadMs ?? 0),
  });
}

function heldLine(
  pointer: string,
  { field, detail }: { field: string; detail: Message },
  value: unknown,
): HeldPart {
  return { pointer, faults: [{ pointer: `${pointer}/${field}`, message: detail }], value };
}

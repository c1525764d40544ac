import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { rowOf, readPage } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import type { Page } from '../../platform/pages/pages.js';
import { notFound, unacceptable } from '../../platform/problems/problem.js';
import { validated, objectNeeded } from '../../platform/input/validation.pipe.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { circuitsOf, namedFirst } from './circuits-of-vehicle.js';
import { message } from './messages.js';
import { shownOutcome } from './reading-view.js';
import { readReadings } from './judge-readings.js';
import {
  ReadingEnvelope,
  type ReadingQuery,
  type ReadingView,
  type StandaloneReadingView,
} from './reading.dto.js';
import { CLOCK_TOLERANCE_MS } from '../../domain/calendar/device-clock.js';
import { Reading } from '../../entities/reading.entity.js';
import { reEvaluationsOf } from './re-evaluations.queries.js';
import { readingView } from './reading-view.js';
import { lockSurroundings } from './recording.queries.js';
import { RecordingService } from './recording.service.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';
import type { Occasion, Recorded } from './occasion.js';

const NEWEST_FIRST = new Keyset('readings', { takenAt: KEY.instant, id: KEY.uuid });

@Injectable()
export class ReadingsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly recording: RecordingService,
    private readonly clock: Clock,
  ) {}

  /** Records a reading taken outside a job, such as a top-up, a level or a freeze point. */
  async post(vehicleId: string, body: unknown): Promise<StandaloneReadingView> {
    const occasion = await this.readOccasion(vehicleId, body);
    return this.transactions.ofVehicle(vehicleId).write((tx) => this.record(tx, occasion), 201, 'once');
  }

  /** Records a reading as a part of another write about its vehicle. */
  async postWithin(tx: EntityManager, vehicleId: string, body: unknown): Promise<StandaloneReadingView> {
    return this.record(tx, await this.readOccasion(vehicleId, body));
  }

  private async record(tx: EntityManager, occasion: Occasion): Promise<StandaloneReadingView> {
    const { fleetId } = fleetScope();
    const surroundings = await lockSurroundings(tx, fleetId, occasion.vehicleId, null, null);
    if (!surroundings) throw notFound('vehicle');
    const recorded = await this.recording.record(tx, occasion, surroundings);
    return recordedView(occasion, recorded, namedFirst(circuitsOf(surroundings)));
  }

  /** @throws Problem 422 when the body is not a reading, or its time is in the future */
  private async readOccasion(vehicleId: string, body: unknown): Promise<Occasion> {
    if (typeof body !== 'object' || body === null || Array.isArray(body))
      throw unacceptable([{ pointer: '', detail: objectNeeded() }]);
    const { takenAt, odometer, engineHours, elevation, ...reading } = body as Record<string, unknown>;
    const envelope = await validated(ReadingEnvelope, { takenAt, odometer, engineHours, elevation });
    const at = new Date(envelope.takenAt);
    const now = this.clock.now();
    if (at.getTime() > now.getTime() + CLOCK_TOLERANCE_MS) {
      const detail = message('reading-taken-ahead', { takenAt: envelope.takenAt, now: now.toISOString() });
      throw unacceptable([{ pointer: '/takenAt', detail }]);
    }
    return {
      vehicleId,
      at,
      odometerKm: canonicalOf('distance', envelope.odometer),
      odometerUnit: envelope.odometer?.unit ?? null,
      engineHours: canonicalOf('engine-hours', envelope.engineHours),
      elevationM: canonicalOf('elevation', envelope.elevation),
      readings: await readReadings([reading], ['']),
      isLenient: false,
      job: null,
      held: [],
    };
  }

  async list(vehicleId: string, query: ReadingQuery): Promise<Page<ReadingView>> {
    const manager = this.dataSource.manager;
    await rowOf(manager, Vehicle, vehicleId, 'vehicle');
    const page = NEWEST_FIRST.page(query, { vehicleId, kind: query.kind });
    const builder = manager
      .createQueryBuilder(Reading, 'r')
      .where('r.fleetId = :fleetId and r.vehicleId = :vehicleId', {
        fleetId: fleetScope().fleetId,
        vehicleId,
      });
    if (query.kind) builder.andWhere('r.kind = :kind', { kind: query.kind });
    const rows = await readPage(builder, page, 'DESC');
    const judgedAnew = await reEvaluationsOf(manager, rows);
    return page.of(rows, (row) =>
      readingView({ ...row, reEvaluations: judgedAnew.get(row.id) }, row.firstCircuit),
    );
  }
}

function recordedView(
  { at }: Occasion,
  { readings: [stored], outcome }: Recorded,
  firstCircuit: CircuitName | null,
): StandaloneReadingView {
  if (!stored) throw new Error('the reading was not recorded');
  const { followUps, alerts, held } = shownOutcome(outcome);
  return {
    ...readingView(
      { ...stored, kind: stored.canonical.kind, takenAt: at, jobReportId: null, voidedAt: null },
      firstCircuit,
    ),
    outcome: { followUps, alerts, held },
  };
}

import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { CLOCK_TOLERANCE_MS } from '../../domain/calendar/device-clock.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import { Defect } from '../../entities/defect.entity.js';
import { contentHash } from '../../platform/access/content-hash.js';
import { Clock } from '../../platform/clock/clock.js';
import { readPage, rowOf } from '../../platform/database/records.js';
import { Transactions, type Written } from '../../platform/database/transactions.js';
import { noRoom } from '../../platform/limits/fleet-room.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';
import type { Page } from '../../platform/pages/pages.js';
import { defectIdTaken } from '../../platform/problems/constraint-problems.js';
import { type FieldFault, notFound, unacceptable } from '../../platform/problems/problem.js';
import { fleetScope, signedInName } from '../../platform/scope/fleet-scope.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import type { DefectInput, DefectQuery } from './defect-input.dto.js';
import type { DefectView } from './defect.dto.js';
import { shownDefects } from './defect-view.js';
import { narrowDefects, standingBefore } from './defects.queries.js';
import { message } from './messages.js';

const LATEST_FIRST = new Keyset('defects', { reportedAt: KEY.instant, id: KEY.uuid });

/** How many defects of a vehicle may be open; more point to a faulty client. Common practice. */
const MOST_OPEN = 100;

/** Defects as people report and list them. */
@Injectable()
export class DefectsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /** Records a defect. If it is already known, returns it as it stands. */
  async post(input: DefectInput): Promise<Required<Written<DefectView>>> {
    this.assertPostable(input);
    const name = input.vehicleId ?? input.unitNumber ?? null;
    return this.transactions.ofVehicle(name).writeWith((tx) => this.record(tx, input));
  }

  /** @throws Problem 422 for a time ahead, no vehicle, or a source that the token cannot be */
  private assertPostable({ reportedAt, vehicleId, unitNumber, source }: DefectInput): void {
    const faults: FieldFault[] = [];
    const now = this.clock.now();
    if (Date.parse(reportedAt) > now.getTime() + CLOCK_TOLERANCE_MS) {
      const detail = message('defect-reported-ahead', { reportedAt, now: now.toISOString() });
      faults.push({ pointer: '/reportedAt', detail });
    }
    if (vehicleId == null && unitNumber == null)
      faults.push({ pointer: '/vehicleId', detail: message('defect-without-vehicle') });
    if (fleetScope().role === 'driver' && source !== 'driver')
      faults.push({ pointer: '/source', detail: message('defect-source-not-drivers') });
    if (faults.length > 0) throw unacceptable(faults);
  }

  private async record(tx: EntityManager, input: DefectInput): Promise<Written<DefectView>> {
    const id = input.id?.toLowerCase() ?? null;
    const vehicleId = await vehicleOf(tx, input);
    const hash = contentHash({ ...input, id, vehicleId: input.vehicleId?.toLowerCase() ?? null });
    const { knownHash, open } = await standingBefore(tx, vehicleId, id);
    if (id !== null && knownHash !== null) {
      if (!knownHash.equals(hash)) throw defectIdTaken();
      // Whoever sends all of it again may see it, even with another token and after it was settled.
      const [view] = await shownDefects(tx, [await rowOf(tx, Defect, id, 'defect')]);
      return { body: view as DefectView, status: 200 };
    }
    if (open >= MOST_OPEN)
      throw noRoom('too-many-defects', message('defects-too-many', { present: open, most: MOST_OPEN }), {
        ...{ limit: MOST_OPEN, present: open },
      });
    const defect = { ...columnsOf(input), id: id ?? uuidv7(), vehicleId, contentHash: hash };
    await tx.insert(Defect, { ...defect, receivedAt: this.clock.now() });
    await this.conclusions.refresh(tx, [{ vehicleId, usageFrom: defect.reportedAt }]);
    return { body: await this.shown(tx, defect.id), status: 201 };
  }

  /** @throws Problem 404 when there is none that the token may see */
  get(id: string): Promise<DefectView> {
    return this.shown(this.dataSource.manager, id);
  }

  /** @throws Problem 404 when there is none that the token may see */
  async assertVisible(id: string): Promise<void> {
    await visibleDefect(this.dataSource.manager, id);
  }

  async list(query: DefectQuery): Promise<Page<DefectView>> {
    const { limit: _limit, cursor: _cursor, ...filters } = query;
    const page = LATEST_FIRST.page(query, { ...filters });
    const { manager } = this.dataSource;
    const builder = manager
      .createQueryBuilder(Defect, 'd')
      .where('d.fleetId = :fleetId', { fleetId: fleetScope().fleetId });
    narrowDefects(builder, filters);
    const rows = await readPage(builder, page, 'DESC');
    const views = new Map((await shownDefects(manager, rows)).map((view) => [view.id, view]));
    return page.of(rows, ({ id }) => views.get(id) as DefectView);
  }

  private async shown(manager: EntityManager, id: string): Promise<DefectView> {
    const [view] = await shownDefects(manager, [await visibleDefect(manager, id)]);
    if (view === undefined) throw notFound('defect');
    return view;
  }
}

/** A driver sees its own defects, and open ones of others. @throws Problem 404 */
async function visibleDefect(manager: EntityManager, id: string): Promise<Defect> {
  const { fleetId, role, tokenId, actor } = fleetScope();
  const defect = await manager.findOneBy(Defect, { fleetId, id });
  if (defect === null) throw notFound('defect');
  const isOwn = tokenId === null ? defect.postedBy === actor?.id : defect.tokenId === tokenId;
  const isOpen = defect.state === 'reported' || defect.state === 'triaged';
  if (role === 'driver' && !isOwn && !isOpen) throw notFound('defect');
  return defect;
}

/** Finds the vehicle, and locks it. @throws Problem 422 when there is none, or two are named */
async function vehicleOf(tx: EntityManager, { vehicleId, unitNumber }: DefectInput): Promise<string> {
  const id = vehicleId?.toLowerCase();
  const found = await lockVehicles(
    tx,
    fleetScope().fleetId,
    id === undefined ? [] : [id],
    unitNumber == null ? [] : [unitNumber],
  );
  const named = found.find((vehicle) => (id === undefined ? true : vehicle.id === id));
  if (named === undefined) {
    const pointer = id === undefined ? '/unitNumber' : '/vehicleId';
    const detail = message('defect-vehicle-unknown', { vehicle: id ?? unitNumber ?? '' });
    throw unacceptable([{ pointer, detail }]);
  }
  if (unitNumber != null && named.unit_number !== unitNumber) {
    const detail = message('defect-vehicles-differ', { unitNumber: named.unit_number });
    throw unacceptable([{ pointer: '/unitNumber', detail }]);
  }
  return named.id;
}

function columnsOf(input: DefectInput) {
  const { fleetId, tokenId, actor } = fleetScope();
  const reportedBy = input.reportedBy ?? signedInName();
  const { source, component = null, action = null, item = null } = input;
  return {
    ...{ fleetId, tokenId, reportedBy, source, component, action, item },
    what: input.what.trim(),
    reportedAt: new Date(input.reportedAt),
    odometerKm: canonicalOf('distance', input.odometer),
    engineHours: canonicalOf('engine-hours', input.engineHours),
    postedBy: tokenId === null ? (actor?.id ?? null) : null,
  };
}

import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager, In } from 'typeorm';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { relistCodes } from '../../conclusions/store/listed-faults.js';
import { faultCodeIn, faultCodeText } from '../../domain/faults/fault-code.js';
import type { FaultSighting } from '../../domain/faults/fault-sighting.js';
import { ImpossibleValue } from '../../domain/impossible-value.js';
import { Fault } from '../../entities/fault.entity.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { Clock } from '../../platform/clock/clock.js';
import { readPage, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  badQuery,
  conflict,
  type FieldFault,
  notFound,
  unacceptable,
} from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import type {
  FaultInput,
  FaultQuery,
  FaultsInput,
  FaultsOfVehicleQuery,
  FaultsView,
  FaultView,
} from './fault.dto.js';
import { type FaultFilters, narrowFaults } from './fault-list.queries.js';
import { episodesOfCodes, shownFaults } from './fault-view.js';
import { FaultsService } from './faults.service.js';
import { type ReadSighting, readSightings } from './read-sightings.js';
import { message } from './messages.js';

const LATEST_FIRST = new Keyset('faults', { firstAt: KEY.instant, id: KEY.uuid });

interface Seen {
  vehicleId: string;
  sighting: FaultSighting;
}

/** Faults as people post, list and void them. */
@Injectable()
export class FaultRecordsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly faults: FaultsService,
    private readonly clock: Clock,
  ) {}

  async post({ faults }: FaultsInput): Promise<FaultsView> {
    const read = readSightings(faults, this.clock.now());
    return this.transactions.ofVehicle(onlyVehicle(faults)).write(async (tx) => {
      const seen = await this.ofVehicles(tx, faults, read);
      await this.faults.take(
        tx,
        seen.map(({ vehicleId, sighting }) => ({ vehicleId, sightings: [sighting] })),
        'person',
      );
      return { faults: await this.shownOf(tx, seen) };
    }, 201);
  }

  /**
   * Finds the vehicles, and locks them.
   *
   * @throws Problem 422 that names every entry that cannot be taken
   */
  private async ofVehicles(
    tx: EntityManager,
    faults: readonly FaultInput[],
    read: readonly ReadSighting[],
  ): Promise<Seen[]> {
    const ids = faults.flatMap(({ vehicleId }) => vehicleId?.toLowerCase() ?? []);
    const units = faults.flatMap(({ unitNumber }) => unitNumber ?? []);
    const vehicles = await lockVehicles(tx, fleetScope().fleetId, ids, units);
    const byName = new Map(
      vehicles.flatMap(({ id, unit_number: unit }) => [
        [id, id],
        [unit, id],
      ]),
    );
    const wrong: FieldFault[] = [];
    const seen = read.flatMap(({ sighting, vehicle, faults: own }): Seen[] => {
      wrong.push(...own);
      const vehicleId = vehicle === null ? undefined : byName.get(vehicle.name);
      if (vehicle !== null && vehicleId === undefined) {
        const detail = message('fault-vehicle-unknown', { vehicle: vehicle.name });
        wrong.push({ pointer: vehicle.pointer, detail });
      }
      return vehicleId === undefined || sighting === null ? [] : [{ vehicleId, sighting }];
    });
    if (wrong.length > 0) throw unacceptable(wrong);
    return seen;
  }

  /** The faults that some sightings are about, each once. */
  private async shownOf(tx: EntityManager, seen: readonly Seen[]): Promise<FaultView[]> {
    const named = seen.map(({ vehicleId, sighting }) => ({
      ...{ vehicleId, at: sighting.at },
      code: faultCodeText(sighting.code),
    }));
    const found = await episodesOfCodes(tx, named);
    const heads = named.flatMap(({ vehicleId, code, at }) => {
      const own = found.filter(
        ({ episode: { head } }) => head.vehicleId === vehicleId && faultCodeText(head.code) === code,
      );
      return own.findLast(({ episode }) => episode.firstAt <= at)?.episode.head.id ?? [];
    });
    const ids = [...new Set(heads)];
    const rows = await tx.findBy(Fault, { fleetId: fleetScope().fleetId, id: In(ids) });
    const inOrder = ids.flatMap((id) => rows.find((row) => row.id === id) ?? []);
    return shownFaults(tx, inOrder);
  }

  list(query: FaultQuery): Promise<Page<FaultView>> {
    const { vehicleId, depotId, state, meaning, code } = query;
    return this.page(query, { vehicleId, depotId, state, meaning, code });
  }

  async ofVehicle(vehicleId: string, query: FaultsOfVehicleQuery): Promise<Page<FaultView>> {
    await rowOf(this.dataSource.manager, Vehicle, vehicleId, 'vehicle');
    return this.list({ ...query, vehicleId });
  }

  private async page(query: FaultQuery, filters: FaultFilters): Promise<Page<FaultView>> {
    const page = LATEST_FIRST.page(query, { ...filters });
    const { manager } = this.dataSource;
    const builder = manager
      .createQueryBuilder(Fault, 'f')
      .where('f.fleetId = :fleetId', { fleetId: fleetScope().fleetId });
    const code = filters.code && codeAsStored(filters.code);
    narrowFaults(builder, { ...filters, code });
    const rows = await readPage(builder, page, 'DESC');
    const views = new Map((await shownFaults(manager, rows)).map((view) => [view.id, view]));
    return page.of(rows, ({ id }) => views.get(id) as FaultView);
  }

  async get(id: string): Promise<FaultView> {
    return shownFault(this.dataSource.manager, id);
  }

  /** Voids all rows of a fault's episode. */
  async void(id: string, reason: string): Promise<FaultView> {
    const transactions = await this.transactions.ofVehicleWith(Fault, id);
    return transactions.write(async (tx) => {
      const { fleetId } = fleetScope();
      const { vehicleId } = await activeRow(tx, id);
      await lockVehicles(tx, fleetId, [vehicleId], []);
      const row = await activeRow(tx, id);
      if (row.voidedAt) {
        if (row.voidReason === reason) return shownFault(tx, id);
        throw conflict('already-voided', message('fault-already-voided', { reason: row.voidReason ?? '' }));
      }
      const found = await episodesOfCodes(tx, [row]);
      const whole = found.find(({ rows }) => rows.some((one) => one.id === id));
      const ids = (whole?.rows ?? [row]).map((one) => one.id);
      await tx.update(Fault, { fleetId, id: In(ids) }, { voidedAt: this.clock.now(), voidReason: reason });
      await relistCodes(tx, fleetId, [row]);
      await this.conclusions.refresh(tx, [{ vehicleId, usageFrom: null }]);
      return shownFault(tx, id);
    });
  }
}

/** What was read as gone is no fault by itself. */
async function activeRow(manager: EntityManager, id: string): Promise<Fault> {
  const row = await rowOf(manager, Fault, id, 'fault');
  if (!row.isActive) throw notFound('fault');
  return row;
}

async function shownFault(manager: EntityManager, id: string): Promise<FaultView> {
  const [view] = await shownFaults(manager, [await activeRow(manager, id)]);
  return view as FaultView;
}

/** The one vehicle that is named; null where there are several. */
function onlyVehicle(faults: readonly FaultInput[]): string | null {
  const names = new Set(faults.map(({ vehicleId, unitNumber }) => vehicleId ?? unitNumber ?? ''));
  const [name] = names;
  return names.size === 1 && name !== undefined && name !== '' ? name : null;
}

/** A code as it is stored. @throws Problem 400 for one that is none */
function codeAsStored(typed: string): string {
  try {
    return faultCodeText(faultCodeIn(typed));
  } catch (error) {
    if (error instanceof ImpossibleValue) throw badQuery('code', error.detail);
    throw error;
  }
}

import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../conclusions/conclusions.service.js';
import { civilDateAt } from '../domain/calendar/zone.js';
import { vinFault } from '../domain/vehicles/vin.js';
import { Clock } from '../platform/clock/clock.js';
import { fleetScope } from '../platform/database/fleet-scope.js';
import { listBy, lockedRowOf, rowOf } from '../platform/database/records.js';
import { Transactions } from '../platform/database/transactions.js';
import { assertUnchanged } from '../platform/http/etags.js';
import { mergePatch } from '../platform/http/merge-patch.js';
import type { Page } from '../platform/http/pages.js';
import { conflict, unacceptable } from '../platform/http/problem.js';
import { validated } from '../platform/http/validation.pipe.js';
import { columnsOf, inputOf, viewOf } from './vehicle-columns.js';
import { VehicleInput, VehiclePatch, type VehicleQuery, type VehicleView } from './vehicle.dto.js';
import { Vehicle, VehicleAssignment } from './vehicle.entity.js';

/** Before any record: the first assignment of a vehicle counts from ever. */
export const FROM_EVER = '1950-01-01';

const ASSIGNED = ['depotId', 'duty', 'specSheetId', 'intervalPlanId', 'status'] as const;

@Injectable()
export class VehiclesService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  list(query: VehicleQuery): Promise<Page<VehicleView>> {
    const { depotId, status, unitNumber, q } = query;
    return listBy(
      this.dataSource.manager,
      Vehicle,
      'unitNumber',
      query,
      { depotId, status, unitNumber, q },
      (builder) => {
        if (depotId) builder.andWhere('r.depotId = :depotId', { depotId });
        if (status) builder.andWhere('r.status = :status', { status });
        if (unitNumber) builder.andWhere('r.unitNumber = :unitNumber', { unitNumber });
        if (q) {
          const pattern = `%${q.replaceAll(/[\\%_]/g, '\\$&')}%`;
          builder.andWhere(
            '(r.unitNumber ilike :pattern or r.make ilike :pattern or r.model ilike :pattern or r.vin ilike :pattern)',
            { pattern },
          );
        }
      },
      viewOf,
    );
  }

  async get(id: string): Promise<VehicleView> {
    return viewOf(await rowOf(this.dataSource.manager, Vehicle, id, 'vehicle'));
  }

  create(input: VehicleInput): Promise<VehicleView> {
    return this.transactions.write(async (tx) => {
      const vehicle = Object.assign(new Vehicle(), {
        fleetId: fleetScope().fleetId,
        id: uuidv7(),
        version: 1,
        ...columnsOf(input),
      });
      this.assertSensible(vehicle);
      await tx.insert(Vehicle, vehicle);
      await this.assign(tx, vehicle, FROM_EVER);
      await this.conclusions.refresh(tx, [{ vehicleId: vehicle.id, usageFrom: null }]);
      return viewOf(vehicle);
    });
  }

  patch(id: string, patch: Record<string, unknown>, ifMatch: string | undefined): Promise<VehicleView> {
    return this.transactions.write(async (tx) => {
      const vehicle = await lockedRowOf(tx, Vehicle, id, 'vehicle');
      assertUnchanged(ifMatch, vehicle.version);
      const { effectiveOn, ...input } = await validated(VehiclePatch, mergePatch(inputOf(vehicle), patch));
      const changed = { ...columnsOf(input), version: vehicle.version + 1 };
      const reassigned = ASSIGNED.some((column) => changed[column] !== vehicle[column]);
      Object.assign(vehicle, changed);
      this.assertSensible(vehicle);
      await tx.update(Vehicle, { fleetId: vehicle.fleetId, id }, changed);
      if (reassigned)
        await this.assign(tx, vehicle, await this.effectiveDate(tx, id, effectiveOn ?? undefined));
      await this.conclusions.refresh(tx, [{ vehicleId: id, usageFrom: null }]);
      return viewOf(vehicle);
    });
  }

  /** Only a vehicle without a history can go; one with a history is disposed of instead. */
  async remove(id: string): Promise<void> {
    await this.transactions.write(async (tx) => {
      const { fleetId } = await lockedRowOf(tx, Vehicle, id, 'vehicle');
      const [history] = await tx.query<{ exists: boolean }[]>(
        `select exists (select from usage_readings where fleet_id = $1 and vehicle_id = $2)
             or exists (select from job_reports where fleet_id = $1 and vehicle_id = $2)
             or exists (select from readings where fleet_id = $1 and vehicle_id = $2)
             or exists (select from reminders r join due_lines d on d.fleet_id = r.fleet_id and d.id = r.due_line_id
                        where d.fleet_id = $1 and d.vehicle_id = $2) as exists`,
        [fleetId, id],
      );
      if (history?.exists)
        throw conflict(
          'has-history',
          'This vehicle has a history, which is never deleted. Set its status to disposed instead.',
        );
      for (const table of ['due_lines', 'usage_summaries', 'vehicle_assignments']) {
        await tx.query(`delete from ${table} where fleet_id = $1 and vehicle_id = $2`, [fleetId, id]);
      }
      await tx.delete(Vehicle, { fleetId, id });
    });
  }

  private today(): string {
    return civilDateAt(this.clock.now().getTime(), fleetScope().timeZone);
  }

  private async effectiveDate(
    tx: EntityManager,
    vehicleId: string,
    effectiveOn = this.today(),
  ): Promise<string> {
    const fault = (detail: string) => unacceptable([{ pointer: '/effectiveOn', detail }]);
    if (effectiveOn > this.today())
      throw fault(`is ${effectiveOn}, which is yet to come; a change counts from today or an earlier day`);
    const [last] = await tx.query<{ on: string }[]>(
      'select max(effective_on) as on from vehicle_assignments where fleet_id = $1 and vehicle_id = $2',
      [fleetScope().fleetId, vehicleId],
    );
    if (last && last.on > effectiveOn)
      throw fault(
        `is ${effectiveOn}, before the last change on ${last.on}; changes are entered in their order`,
      );
    return effectiveOn;
  }

  private async assign(tx: EntityManager, vehicle: Vehicle, effectiveOn: string): Promise<void> {
    const { fleetId, tokenId } = fleetScope();
    const { depotId, duty, specSheetId, intervalPlanId, status } = vehicle;
    await tx.insert(VehicleAssignment, {
      fleetId,
      id: uuidv7(),
      vehicleId: vehicle.id,
      effectiveOn,
      depotId,
      duty,
      specSheetId,
      intervalPlanId,
      status,
      tokenId,
    });
  }

  private assertSensible(vehicle: Vehicle): void {
    const vin = vehicle.vin === null ? null : vinFault(vehicle.vin);
    if (vin) throw unacceptable([{ pointer: '/vin', detail: vin }]);
    if (vehicle.mountedOn === vehicle.id)
      throw unacceptable([{ pointer: '/mountedOn', detail: 'names the vehicle itself' }]);
    if (vehicle.inServiceOn !== null && vehicle.inServiceOn > this.today()) {
      throw unacceptable([
        { pointer: '/inServiceOn', detail: `is ${vehicle.inServiceOn}, which is yet to come` },
      ]);
    }
  }
}

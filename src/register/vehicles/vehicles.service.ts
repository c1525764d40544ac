import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { listBy, lockedRowOf, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { assertUnchanged } from '../../platform/resources/etags.js';
import { mergePatch } from '../../platform/input/merge-patch.js';
import type { Page } from '../../platform/pages/pages.js';
import { conflict, unacceptable } from '../../platform/problems/problem.js';
import { validated } from '../../platform/input/validation.pipe.js';
import { assertCarriesNothing, carrierOf, lockMountedUnits } from './mounted-units.js';
import { deleteVehicles, recordsOf, type VehicleRecords } from './removing.queries.js';
import { columnsOf, inputOf, viewOf } from './vehicle-columns.js';
import { releasedWithFindings } from './released-with-findings.js';
import { VehicleInput, VehiclePatch, type VehicleQuery, type VehicleView } from './vehicle.dto.js';
import { Vehicle, VehicleAssignment } from '../../entities/vehicle.entity.js';
import { vehicleFaults } from './vehicle-rules.js';
import { insertVehicles, narrowVehicles, otherWithVin } from './vehicles.queries.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** All of a vehicle's usage, if it has any. */
const FROM_THE_FIRST = new Date(0);

/** The columns by which reminder targets choose vehicles. */
const HEARD_BY = ['depotId', 'duty', 'intervalPlanId'] as const;
const ASSIGNED = ['depotId', 'duty', 'specSheetId', 'intervalPlanId', 'status'] as const;

@Injectable()
export class VehiclesService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  async list(query: VehicleQuery): Promise<Page<VehicleView>> {
    const { depotId, status, unitNumber, released, without, q } = query;
    const { manager } = this.dataSource;
    const page = await listBy(
      manager,
      Vehicle,
      'unitNumber',
      query,
      { depotId, status, unitNumber, released, without, q },
      (builder) => narrowVehicles(builder, query),
      (vehicle) => viewOf(vehicle),
    );
    const ids = page.items.map(({ id }) => id);
    const found = await releasedWithFindings(manager, fleetScope().fleetId, ids);
    const items = page.items.map((item) => ({ ...item, releasedWithFindings: found.get(item.id) ?? null }));
    return { ...page, items };
  }

  async get(id: string): Promise<VehicleView> {
    const { manager } = this.dataSource;
    return shown(manager, await rowOf(manager, Vehicle, id, 'vehicle'));
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
      const carrier = await carrierOf(tx, vehicle);
      vehicle.depotId ??= carrier?.depotId ?? null;
      await assertOwnVin(tx, vehicle);
      const { fleetId, tokenId } = fleetScope();
      await insertVehicles(tx, fleetId, tokenId, [vehicle]);
      await this.conclusions.refresh(tx, [{ vehicleId: vehicle.id, usageFrom: FROM_THE_FIRST }]);
      return viewOf(vehicle);
    });
  }

  async patch(id: string, patch: Record<string, unknown>, ifMatch: string | undefined): Promise<VehicleView> {
    return this.transactions.ofVehicle(id).write(async (tx) => {
      const vehicle = await lockedRowOf(tx, Vehicle, id, 'vehicle');
      assertUnchanged(ifMatch, vehicle.version);
      const { effectiveOn, ...input } = await validated(VehiclePatch, mergePatch(inputOf(vehicle), patch));
      const changed = { ...columnsOf(input), version: vehicle.version + 1 };
      const before = { ...vehicle };
      const reassigned = ASSIGNED.some((column) => changed[column] !== vehicle[column]);
      Object.assign(vehicle, changed);
      this.assertSensible(vehicle);
      if (vehicle.vin !== before.vin) await assertOwnVin(tx, vehicle);
      if (vehicle.mountedOn !== before.mountedOn) await carrierOf(tx, vehicle);
      const carried = await lockMountedUnits(tx, vehicle);
      if (vehicle.status === 'disposed') assertCarriesNothing(vehicle, carried);
      await tx.update(Vehicle, { fleetId: vehicle.fleetId, id }, changed);
      const countsFrom = reassigned ? await this.effectiveDate(tx, id, effectiveOn ?? undefined) : null;
      if (countsFrom !== null) await this.assign(tx, vehicle, countsFrom);
      const isMoved = vehicle.depotId !== before.depotId;
      const moved =
        isMoved && countsFrom !== null ? await this.moveAlong(tx, vehicle, carried, countsFrom) : [];
      const isHeardByOthers = HEARD_BY.some((column) => vehicle[column] !== before[column]);
      const changes = [
        {
          vehicleId: id,
          usageFrom: isRateOther(before, vehicle) ? FROM_THE_FIRST : null,
          isMoved: isHeardByOthers,
        },
        ...moved.map((vehicleId) => ({ vehicleId, usageFrom: null, isMoved: true })),
      ];
      if (isMoved || vehicle.designLowTemperatureC !== before.designLowTemperatureC) {
        const why = isMoved ? 'moved-to-another-depot' : 'vehicle-low-temperature';
        await this.conclusions.refreshJudgingAnew(tx, changes, why);
      } else await this.conclusions.refresh(tx, changes);
      return shown(tx, vehicle);
    });
  }

  /**
   * Moves the units mounted on a vehicle to the vehicle's depot.
   *
   * @returns the ids of the moved units
   */
  private async moveAlong(
    tx: EntityManager,
    { fleetId, depotId }: Vehicle,
    units: Vehicle[],
    effectiveOn: string,
  ): Promise<string[]> {
    const moved = units.filter((unit) => unit.depotId !== depotId);
    for (const unit of moved) {
      Object.assign(unit, { depotId, version: unit.version + 1 });
      await tx.update(Vehicle, { fleetId, id: unit.id }, { depotId, version: unit.version });
      const lastOn = (await this.lastChangedOn(tx, unit.id)) ?? effectiveOn;
      await this.assign(tx, unit, lastOn > effectiveOn ? lastOn : effectiveOn);
    }
    return moved.map(({ id }) => id);
  }

  private async lastChangedOn(tx: EntityManager, vehicleId: string): Promise<string | null> {
    const [last] = await tx.query<{ on: string | null }[]>(
      'select max(effective_on) as on from vehicle_assignments where fleet_id = $1 and vehicle_id = $2',
      [fleetScope().fleetId, vehicleId],
    );
    return last?.on ?? null;
  }

  /** Deletes a vehicle. Refuses if it has a history; such a vehicle is disposed of instead. */
  async remove(id: string): Promise<void> {
    await this.transactions.ofVehicle(id).write(async (tx) => {
      const { fleetId } = await lockedRowOf(tx, Vehicle, id, 'vehicle');
      const [records] = await recordsOf(tx, fleetId, [id]);
      if (records && isRecorded(records)) throw conflict('has-history', message('vehicle-has-history'));
      await deleteVehicles(tx, fleetId, [id]);
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
    const fault = (detail: Message) => unacceptable([{ pointer: '/effectiveOn', detail }]);
    if (effectiveOn > this.today()) throw fault(message('vehicle-change-to-come', { date: effectiveOn }));
    const lastOn = await this.lastChangedOn(tx, vehicleId);
    if (lastOn !== null && lastOn > effectiveOn)
      throw fault(message('vehicle-change-out-of-order', { date: effectiveOn, last: lastOn }));
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
    const faults = vehicleFaults(vehicle, this.today());
    if (faults.length > 0) throw unacceptable(faults);
  }
}

async function shown(manager: EntityManager, vehicle: Vehicle): Promise<VehicleView> {
  const found = await releasedWithFindings(manager, vehicle.fleetId, [vehicle.id]);
  return viewOf(vehicle, found.get(vehicle.id) ?? null);
}

function isRecorded(records: VehicleRecords): boolean {
  const { hasUsage, hasJobs, hasReadings, hasFaults, hasTemperatures, hasDefects } = records;
  const { hasPostponements, hasVisits, hasReminders } = records;
  const isKnown = hasUsage || hasReadings || hasFaults || hasTemperatures || hasDefects;
  return isKnown || hasJobs || hasPostponements || hasVisits || hasReminders;
}

/**
 * Whether a change affects the vehicle's daily rate. The declared rate is used when readings give
 * none, and the rate of a seasonal vehicle is per day in use.
 */
function isRateOther(before: Vehicle, after: Vehicle): boolean {
  return (['expectedDailyKm', 'expectedDailyHours', 'inUseMonths'] as const).some(
    (name) => String(before[name]) !== String(after[name]),
  );
}

/**
 * The schema also rejects a VIN that is already taken, but cannot say which vehicle has it.
 *
 * @throws Problem 409
 */
async function assertOwnVin(tx: EntityManager, vehicle: Vehicle): Promise<void> {
  const holder = vehicle.vin === null ? null : await otherWithVin(tx, vehicle);
  if (holder === null) return;
  throw conflict('vin-taken', message('vehicle-vin-taken-by', { holder }), [
    { pointer: '/vin', detail: message('vehicle-vin-taken-by-here', { holder }) },
  ]);
}

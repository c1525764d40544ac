import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { headed, inUnits } from '../../platform/csv/csv-answer.js';
import { type Cell, csvLine } from '../../platform/csv/csv-text.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { VEHICLE_COLUMNS } from './vehicle-csv.js';
import type { VehicleQuery } from './vehicle.dto.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { namesById, narrowVehicles } from './vehicles.queries.js';

const CHUNK = 1000;

const WRITTEN = VEHICLE_COLUMNS.filter(({ name }) => name !== 'version');

/** Exports vehicles as CSV that can be imported again. */
@Injectable()
export class VehicleExportService {
  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  async *export(filters: VehicleQuery, units: UnitSystem): AsyncGenerator<string> {
    const { fleetId } = fleetScope();
    const { manager } = this.dataSource;
    yield csvLine(WRITTEN.map(({ name, measure }) => (measure ? headed(name, measure, units) : name)));
    for (let after: Vehicle | undefined; ;) {
      const builder = manager
        .createQueryBuilder(Vehicle, 'r')
        .where('r.fleetId = :fleetId', { fleetId })
        .orderBy('r.unitNumber')
        .addOrderBy('r.id')
        .limit(CHUNK);
      narrowVehicles(builder, filters);
      if (after)
        builder.andWhere('(r.unitNumber, r.id) > (:unitNumber, :id)', {
          unitNumber: after.unitNumber,
          id: after.id,
        });
      const vehicles = await builder.getMany();
      const names = await namesById(manager, fleetId, vehicles);
      const lines = vehicles.map((vehicle) => csvLine(cellsOf(vehicle, names, units)));
      if (lines.length > 0) yield lines.join('');
      if (vehicles.length < CHUNK) return;
      after = vehicles.at(-1);
    }
  }
}

/** The cells of a vehicle, in the order of the columns. */
function cellsOf(vehicle: Vehicle, names: ReadonlyMap<string, string>, units: UnitSystem): Cell[] {
  const named = (id: string | null): string | null => (id === null ? null : (names.get(id) ?? id));
  const cells: Record<string, Cell> = {
    unitNumber: vehicle.unitNumber,
    depot: named(vehicle.depotId),
    specSheet: named(vehicle.specSheetId),
    intervalPlan: named(vehicle.intervalPlanId),
    duty: vehicle.duty,
    status: vehicle.status,
    vin: vehicle.vin,
    serialNumber: vehicle.serialNumber,
    make: vehicle.make,
    model: vehicle.model,
    modelYear: vehicle.modelYear,
    mountedOn: named(vehicle.mountedOn),
    inUseMonths: vehicle.inUseMonths?.join(' ') ?? null,
    inServiceOn: vehicle.inServiceOn,
    inServiceOdometer: inUnits('distance', vehicle.inServiceOdometerKm, units),
    inServiceEngineHours: inUnits('engine-hours', vehicle.inServiceEngineHours, units),
    expectedDailyDistance: inUnits('distance', vehicle.expectedDailyKm, units),
    expectedDailyEngineHours: inUnits('engine-hours', vehicle.expectedDailyHours, units),
    designLowTemperature: inUnits('temperature', vehicle.designLowTemperatureC, units),
    id: vehicle.id,
  };
  return WRITTEN.map(({ name }) => cells[name] ?? null);
}

import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { Clock } from '../../platform/clock/clock.js';
import { assertOnlyImport } from '../../platform/csv/imports.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockedRowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { deleteVehicles, recordsOf } from '../../register/vehicles/removing.queries.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import type { ImportView } from './import-record.dto.js';
import { Import } from '../../entities/import.entity.js';
import { shownImport } from './imports.service.js';
import { assertRemovable } from './removable.js';
import { noteUndone, type TakenBack, vehiclesOf, voidReportsOf, voidUsageOf } from './undo.queries.js';

/** How many vehicles are concluded at a time. */
const CHUNK = 500;

/** Undoes an import: removes or voids everything it brought, or nothing if any part must stay. */
@Injectable()
export class UndoService {
  constructor(
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /** If the import was undone before, returns it unchanged. */
  async undo(id: string): Promise<ImportView> {
    return this.transactions.write(async (tx) => {
      await assertOnlyImport(tx);
      const { kind, undoneAt } = await lockedRowOf(tx, Import, id, 'import');
      if (undoneAt === null) {
        const at = this.clock.now();
        const undone = { vehicles: 0, usageReadings: 0, jobReports: 0 };
        if (kind === 'vehicles') undone.vehicles = await this.removeVehicles(tx, id);
        else {
          const taken = await this.voidFacts(tx, id, kind, at);
          const facts = taken.reduce((sum, { facts: some }) => sum + some, 0);
          undone[kind === 'usage-readings' ? 'usageReadings' : 'jobReports'] = facts;
        }
        await noteUndone(tx, fleetScope(), id, at, undone);
      }
      return shownImport(tx, id);
    }, 200);
  }

  private async removeVehicles(tx: EntityManager, importId: string): Promise<number> {
    const { fleetId } = fleetScope();
    const ids = await vehiclesOf(tx, fleetId, importId, 'vehicles');
    await lockVehicles(tx, fleetId, ids, []);
    assertRemovable(await recordsOf(tx, fleetId, ids));
    await deleteVehicles(tx, fleetId, ids);
    return ids.length;
  }

  private async voidFacts(
    tx: EntityManager,
    importId: string,
    kind: 'usage-readings' | 'job-reports',
    at: Date,
  ): Promise<TakenBack[]> {
    const { fleetId } = fleetScope();
    const isUsage = kind === 'usage-readings';
    const ids = await vehiclesOf(tx, fleetId, importId, isUsage ? 'usage_readings' : 'job_reports');
    await lockVehicles(tx, fleetId, ids, []);
    const taken = await (isUsage ? voidUsageOf : voidReportsOf)(tx, fleetId, importId, at);
    for (let from = 0; from < taken.length; from += CHUNK) {
      const changes = taken
        .slice(from, from + CHUNK)
        .map(({ vehicleId, from: usageFrom }) => ({ vehicleId, usageFrom }));
      await this.conclusions.refresh(tx, changes, !isUsage);
    }
    return taken;
  }
}

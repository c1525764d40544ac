import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { WEEKDAYS } from '../../domain/visits/working-days.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { listBy, lockedRowOf, type PageQuery, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { assertUnchanged } from '../../platform/resources/etags.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import { optionalMeasure, optionalQuantity } from '../../platform/presenting/measures.js';
import { mergePatch } from '../../platform/input/merge-patch.js';
import type { Page } from '../../platform/pages/pages.js';
import { validated } from '../../platform/input/validation.pipe.js';
import { assertNeverAssigned } from '../../entities/assigned.js';
import { DepotInput, type DepotView } from './depot.dto.js';
import { Depot } from '../../entities/depot.entity.js';

@Injectable()
export class DepotsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
  ) {}

  list(query: PageQuery): Promise<Page<DepotView>> {
    return listBy(this.dataSource.manager, Depot, 'name', query, {}, () => undefined, viewOf);
  }

  async get(id: string): Promise<DepotView> {
    return viewOf(await rowOf(this.dataSource.manager, Depot, id, 'depot'));
  }

  create(input: DepotInput): Promise<DepotView> {
    return this.transactions.write(async (tx) => {
      const depot = Object.assign(new Depot(), {
        fleetId: fleetScope().fleetId,
        id: uuidv7(),
        version: 1,
        ...columnsOf(input),
      });
      await tx.insert(Depot, depot);
      return viewOf(depot);
    });
  }

  async patch(id: string, patch: unknown, ifMatch: string | undefined): Promise<DepotView> {
    return this.transactions.write(async (tx) => {
      const depot = await lockedRowOf(tx, Depot, id, 'depot');
      assertUnchanged(ifMatch, depot.version);
      const input = await validated(DepotInput, mergePatch(inputOf(depot), patch));
      const changed = { ...columnsOf(input), version: depot.version + 1 };
      await tx.update(Depot, { fleetId: depot.fleetId, id }, changed);
      const isAsCold = changed.designLowTemperatureC === depot.designLowTemperatureC;
      if (!isAsCold) await this.conclusions.refreshDepot(tx, id);
      return viewOf(Object.assign(depot, changed));
    });
  }

  async remove(id: string): Promise<void> {
    await this.transactions.write(async (tx) => {
      const depot = await lockedRowOf(tx, Depot, id, 'depot');
      await tx.delete(Depot, { fleetId: depot.fleetId, id });
      await assertNeverAssigned(tx, { depotId: id });
    });
  }
}

function columnsOf(input: DepotInput) {
  return {
    name: input.name.trim(),
    elevationM: canonicalOf('elevation', input.elevation),
    designLowTemperatureC: canonicalOf('temperature', input.designLowTemperature),
    labourHoursPerDay: input.labourHoursPerDay ?? null,
    workingDays: input.workingDays ? WEEKDAYS.filter((day) => input.workingDays?.includes(day)) : null,
    closedOn: (input.closedOn ?? []).toSorted(),
  };
}

/** The record in the form in which it is posted. A patch is applied to it. */
function inputOf(depot: Depot): DepotInput {
  return {
    name: depot.name,
    elevation: optionalQuantity('elevation', depot.elevationM),
    designLowTemperature: optionalQuantity('temperature', depot.designLowTemperatureC),
    labourHoursPerDay: depot.labourHoursPerDay,
    workingDays: depot.workingDays,
    closedOn: depot.closedOn,
  };
}

export function viewOf(depot: Depot): DepotView {
  return {
    id: depot.id,
    name: depot.name,
    elevation: optionalMeasure('elevation', depot.elevationM),
    designLowTemperature: optionalMeasure('temperature', depot.designLowTemperatureC),
    labourHoursPerDay: depot.labourHoursPerDay,
    workingDays: depot.workingDays,
    closedOn: depot.closedOn,
    version: depot.version,
  };
}

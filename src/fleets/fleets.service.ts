import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { ConclusionsService } from '../conclusions/conclusions.service.js';
import { fleetScope, inFleet } from '../platform/database/fleet-scope.js';
import { Transactions } from '../platform/database/transactions.js';
import { assertUnchanged } from '../platform/http/etags.js';
import { mergePatch } from '../platform/http/merge-patch.js';
import { validated } from '../platform/http/validation.pipe.js';
import { FleetInput, type FleetView } from './fleet.dto.js';
import { Fleet } from './fleet.entity.js';

@Injectable()
export class FleetsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
  ) {}

  async get(): Promise<FleetView> {
    return viewOf(await this.dataSource.manager.findOneByOrFail(Fleet, { id: fleetScope().fleetId }));
  }

  patch(patch: unknown, ifMatch: string | undefined): Promise<FleetView> {
    const scope = fleetScope();
    return this.transactions.write(async (tx) => {
      const fleet = await tx.findOneOrFail(Fleet, {
        where: { id: scope.fleetId },
        lock: { mode: 'for_no_key_update' },
      });
      assertUnchanged(ifMatch, fleet.version);
      const { name, timeZone, units } = await validated(FleetInput, mergePatch(inputOf(fleet), patch));
      const changed = { name: name.trim(), timeZone, units, version: fleet.version + 1 };
      await tx.update(Fleet, { id: fleet.id }, changed);
      if (timeZone !== fleet.timeZone) {
        // The request began under the old zone; the days are to be told in the new one.
        await inFleet({ ...scope, timeZone }, () => this.conclusions.refreshTouched(tx, 'all'));
      }
      return viewOf(Object.assign(fleet, changed));
    });
  }
}

function inputOf({ name, timeZone, units }: Fleet): FleetInput {
  return { name, timeZone, units };
}

function viewOf(fleet: Fleet): FleetView {
  return { id: fleet.id, ...inputOf(fleet), version: fleet.version };
}

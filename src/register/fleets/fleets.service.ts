import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { COMMON_PRACTICE, type CommonPractice } from '../../domain/evaluation/common-practice.js';
import { fleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { Transactions } from '../../platform/database/transactions.js';
import { assertUnchanged } from '../../platform/resources/etags.js';
import { mergePatch } from '../../platform/input/merge-patch.js';
import { validated } from '../../platform/input/validation.pipe.js';
import { FleetInput, type FleetView } from './fleet.dto.js';
import { Fleet } from '../../entities/fleet.entity.js';
import { unacceptable } from '../../platform/problems/problem.js';
import { zoneFaultInDatabase } from './zone-in-database.js';

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
      const input = await validated(FleetInput, mergePatch(inputOf(fleet), patch));
      const { name, timeZone, units, defaults } = input;
      const language = input.language ?? 'en';
      if (timeZone !== fleet.timeZone) await assertZoneInDatabase(tx, timeZone);
      const practice: Partial<CommonPractice> = { ...defaults };
      const driverLabels = input.driverLabels ?? 'none';
      const changed = {
        ...{ name: name.trim(), timeZone, units, language, driverLabels, practice },
        version: fleet.version + 1,
      };
      await tx.update(Fleet, { id: fleet.id }, changed);
      if (timeZone !== fleet.timeZone || isLevelKnownOtherwise(fleet.practice, practice)) {
        // The request may have begun with another zone. Dates must be computed in the new one.
        await inFleet({ ...scope, timeZone }, () => this.conclusions.refreshTouched(tx, 'all'));
      }
      return viewOf(Object.assign(fleet, changed));
    });
  }
}

/** @throws Problem 422 */
async function assertZoneInDatabase(tx: EntityManager, timeZone: string): Promise<void> {
  const detail = await zoneFaultInDatabase((sql, parameters) => tx.query(sql, parameters), timeZone);
  if (detail !== null) throw unacceptable([{ pointer: '/timeZone', detail }]);
}

/**
 * Whether the accuracy of level readings has changed. If so, the loss watch must look at all
 * vehicles again.
 */
function isLevelKnownOtherwise(before: Partial<CommonPractice>, now: Partial<CommonPractice>): boolean {
  const names = ['levelUncertaintyL', 'levelUncertaintyShareOfCapacity'] as const;
  return names.some((name) => (before[name] ?? null) !== (now[name] ?? null));
}

function inputOf({ name, timeZone, units, language, driverLabels, practice }: Fleet): FleetInput {
  return { name, timeZone, units, language, driverLabels, defaults: practice };
}

function viewOf(fleet: Fleet): FleetView {
  const defaults = { ...COMMON_PRACTICE, ...fleet.practice };
  return { id: fleet.id, ...inputOf(fleet), defaults, version: fleet.version };
}

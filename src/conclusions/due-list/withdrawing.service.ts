import { Injectable } from '@nestjs/common';
import { type EntityManager, IsNull } from 'typeorm';
import { reminderCycle } from '../../domain/conclusions/postponements.js';
import { DueLine } from '../../entities/due-line.entity.js';
import { Postponement } from '../../entities/postponement.entity.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { Clock } from '../../platform/clock/clock.js';
import { lockedRowOf, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { conflict } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { ConclusionsService } from '../pipeline/conclusions.service.js';
import { type DueLineView, dueLineView } from './due-line-view.js';
import { dueLineRow } from './due-list.queries.js';
import { message } from './messages.js';

/**
 * Withdraws the postponement of a due line: the line is due again as if nobody had postponed it,
 * and may be postponed anew. The postponement stays on record.
 */
@Injectable()
export class WithdrawingService {
  constructor(
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  async withdraw(id: string, reason: string): Promise<DueLineView> {
    const transactions = await this.transactions.ofVehicleWith(DueLine, id);
    return transactions.write((tx) => this.take(tx, id, reason.trim()), 200);
  }

  private async take(tx: EntityManager, id: string, reason: string): Promise<DueLineView> {
    const { fleetId, timeZone, tokenId } = fleetScope();
    const { vehicleId } = await rowOf(tx, DueLine, id, 'due line');
    await lockedRowOf(tx, Vehicle, vehicleId, 'vehicle');
    const now = this.clock.now();
    const loaded = await this.conclusions.load(tx, [{ vehicleId, usageFrom: null }]);
    const [history] = loaded.histories;
    const line = history?.lines.find((stored) => stored.id === id);
    if (!history || !line) throw new Error(`the due line ${id} is not among those of its vehicle`);
    if (!line.isOpen) throw conflict('not-open', message('postpone-not-open'));
    const put = history.postponements.find(
      ({ dueLineId, cycle }) => dueLineId === id && reminderCycle(cycle, true) === line.cycle,
    );
    if (put === undefined) throw conflict('not-postponed', message('postpone-not-postponed'));
    const { cycle } = put;
    await tx.update(
      Postponement,
      { fleetId, dueLineId: id, cycle, withdrawnAt: IsNull() },
      { withdrawnAt: now, withdrawnBy: tokenId, withdrawnReason: reason },
    );
    history.postponements.splice(history.postponements.indexOf(put), 1);
    await this.conclusions.store(tx, await this.conclusions.derive(tx, loaded));
    return dueLineView(await dueLineRow(tx, fleetId, id), now, timeZone);
  }
}

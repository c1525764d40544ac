import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { Defect } from '../../entities/defect.entity.js';
import { rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { conflict, unacceptable } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { ReadingsService } from '../readings/readings.service.js';
import type { AcceptTopUpInput } from './defect-input.dto.js';
import type { DefectView } from './defect.dto.js';
import { shownDefects } from './defect-view.js';
import { message } from './messages.js';

/** Top-ups that drivers reported by a label. They count for nothing until somebody accepts them. */
@Injectable()
export class LabelTopUpsService {
  constructor(
    private readonly transactions: Transactions,
    private readonly readings: ReadingsService,
  ) {}

  /**
   * Lets a reported top-up count as a reading taken when it was reported. The defect stays open:
   * somebody still has to find out where the coolant went.
   */
  async accept(id: string, input: AcceptTopUpInput): Promise<DefectView> {
    const transactions = await this.transactions.ofVehicleWith(Defect, id);
    return transactions.write(async (tx) => {
      const { fleetId } = fleetScope();
      const { vehicleId } = await rowOf(tx, Defect, id, 'defect');
      await lockVehicles(tx, fleetId, [vehicleId], []);
      const defect = await rowOf(tx, Defect, id, 'defect');
      const { takenAt, added } = acceptable(defect, input);
      const body = { ...input, kind: 'top-up', takenAt, added };
      const reading = await this.readings.postWithin(tx, vehicleId, body);
      await tx.update(Defect, { fleetId, id }, { topUpReadingId: reading.id });
      return this.shown(tx, id);
    }, 200);
  }

  private async shown(tx: EntityManager, id: string): Promise<DefectView> {
    const [view] = await shownDefects(tx, [await rowOf(tx, Defect, id, 'defect')]);
    return view as DefectView;
  }
}

/** @throws Problem 409 or 422 when there is no top-up to accept, or nobody says how much */
function acceptable(defect: Defect, input: AcceptTopUpInput): { takenAt: string; added: object } {
  const { isTopUp, topUpReadingId, addedL, reportedAt } = defect;
  if (topUpReadingId !== null)
    throw conflict('top-up-counted', message('defect-top-up-counted', { readingId: topUpReadingId }));
  if (!isTopUp) throw unacceptable([{ pointer: '', detail: message('defect-no-top-up') }]);
  const added = input.added ?? (addedL === null ? null : { value: addedL, unit: 'L' });
  if (added === null) throw unacceptable([{ pointer: '/added', detail: message('defect-top-up-amount') }]);
  return { takenAt: reportedAt.toISOString(), added };
}

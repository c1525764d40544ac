import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { addMonths } from '../../domain/calendar/civil-date.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Defect, DefectDecision } from '../../entities/defect.entity.js';
import { Clock } from '../../platform/clock/clock.js';
import { rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { conflict, type FieldFault, unacceptable } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { itemFault } from '../job-reports/job-report-content.js';
import type { DismissInput, TriageInput } from './defect-input.dto.js';
import type { DefectView } from './defect.dto.js';
import { shownDefects } from './defect-view.js';
import { beltsOf } from './defects.queries.js';
import { message } from './messages.js';

/** How far ahead a repair may be set; as far as a due line may be put off. */
const MOST_MONTHS = 12;

type Decision = Pick<DefectDecision, 'kind' | 'decidedBy'> & Partial<DefectDecision>;

/** What mechanics and managers decide about defects. */
@Injectable()
export class DefectDecisionsService {
  constructor(
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /** Takes a defect up: says the work that is to repair it, and whether the vehicle stays. */
  triage(id: string, input: TriageInput): Promise<DefectView> {
    return this.decide(id, async (tx, { vehicleId }) => {
      const faults = this.faultsOfDay(input.dueOn ?? null);
      const fault = itemFault(input, await beltsOf(tx, vehicleId));
      if (fault !== null) faults.push({ pointer: '/item', detail: fault });
      if (faults.length > 0) throw unacceptable(faults);
      const { decidedBy, component, action, item = null, dueOn = null, vehicleStays, note = null } = input;
      const taken = { decidedBy, component, action, item, dueOn, vehicleStays, reason: note };
      // Sent again because the answer was lost: it has been decided already.
      if (isSameTriage(await lastDecision(tx, id), taken)) return null;
      return { kind: 'triage', ...taken };
    });
  }

  /** Certifies that a defect need not be repaired. */
  dismiss(id: string, { decidedBy, reason }: DismissInput): Promise<DefectView> {
    return this.decide(id, async (tx, defect) => {
      if (defect.state !== 'dismissed') return { kind: 'dismiss', decidedBy, reason };
      const last = await lastDecision(tx, id);
      if (last?.reason === reason && last.decidedBy === decidedBy) return null;
      throw conflict(
        'already-dismissed',
        message('defect-already-dismissed', { reason: last?.reason ?? '' }),
      );
    });
  }

  /** @param decision null: there is nothing new to decide */
  private async decide(
    id: string,
    decision: (tx: EntityManager, defect: Defect) => Promise<Decision | null>,
  ): Promise<DefectView> {
    const transactions = await this.transactions.ofVehicleWith(Defect, id);
    return transactions.write(async (tx) => {
      const { fleetId, tokenId } = fleetScope();
      const { vehicleId } = await rowOf(tx, Defect, id, 'defect');
      await lockVehicles(tx, fleetId, [vehicleId], []);
      const defect = await rowOf(tx, Defect, id, 'defect');
      if (defect.state === 'repaired')
        throw conflict(
          'already-repaired',
          message('defect-already-repaired', { jobReportId: defect.repairedById ?? '' }),
        );
      const decided = await decision(tx, defect);
      if (decided !== null) {
        const at = await this.nextInstant(tx, id);
        await tx.insert(DefectDecision, { ...decided, fleetId, id: uuidv7(), defectId: id, at, tokenId });
        await this.conclusions.refresh(tx, [{ vehicleId, usageFrom: null }]);
      }
      const [view] = await shownDefects(tx, [await rowOf(tx, Defect, id, 'defect')]);
      return view as DefectView;
    }, 200);
  }

  /**
   * Now, but after the last decision, whatever the clocks of the processes say: the last counts.
   */
  private async nextInstant(tx: EntityManager, defectId: string): Promise<Date> {
    const last = await lastDecision(tx, defectId);
    return new Date(Math.max(this.clock.now().getTime(), (last?.at.getTime() ?? -Infinity) + 1));
  }

  private faultsOfDay(dueOn: string | null): FieldFault[] {
    if (dueOn === null) return [];
    const today = civilDateAt(this.clock.now().getTime(), fleetScope().timeZone);
    const latestOn = addMonths(today, MOST_MONTHS);
    const pointer = '/dueOn';
    if (dueOn < today) return [{ pointer, detail: message('defect-due-in-past', { dueOn, today }) }];
    return dueOn > latestOn
      ? [{ pointer, detail: message('defect-due-too-late', { dueOn, months: MOST_MONTHS, latestOn }) }]
      : [];
  }
}

function isSameTriage(last: DefectDecision | null, taken: Partial<DefectDecision>): boolean {
  if (last?.kind !== 'triage') return false;
  return Object.entries(taken).every(([name, value]) => last[name as keyof DefectDecision] === value);
}

function lastDecision(tx: EntityManager, defectId: string): Promise<DefectDecision | null> {
  return tx.findOne(DefectDecision, {
    where: { fleetId: fleetScope().fleetId, defectId },
    order: { at: 'DESC', id: 'DESC' },
  });
}

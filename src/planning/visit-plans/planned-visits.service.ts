import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { Depot } from '../../entities/depot.entity.js';
import { epochDayOf } from '../../domain/calendar/civil-date.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import type { Message } from '../../domain/message.js';
import { visitHours } from '../../domain/visits/labour-hours.js';
import type { LineToPlan } from '../../domain/visits/types.js';
import { HOURS_ROUNDING, visitCost } from '../../domain/visits/visit-cost.js';
import { workingDays } from '../../domain/visits/working-days.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockedRowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { assertUnchanged } from '../../platform/resources/etags.js';
import { mergePatch } from '../../platform/input/merge-patch.js';
import { conflict, notFound, unacceptable } from '../../platform/problems/problem.js';
import { validated } from '../../platform/input/validation.pipe.js';
import { dayFault } from './day-fault.js';
import { labourHoursOf, ratesOf, toPlan, workingTimeOf } from './depot-problems.js';
import { message } from './messages.js';
import { plannedVisitView } from './plan-view.js';
import { costLeftOut } from './proposal.js';
import { PlannedVisitInput, type PlannedVisitView } from './visit-plan.dto.js';
import { PlannedLine, PlannedVisit, VisitPlan } from '../../entities/visit-plan.entity.js';
import {
  hoursPlanned,
  hoursTaken,
  type PlannedLineRow,
  plannedLineRows,
  plannedVisitRows,
} from './visit-plans.queries.js';
import { confirmedAlready } from './visit-plans.service.js';

/** Pins, moves and drops the visits that a plan proposes. */
@Injectable()
export class PlannedVisitsService {
  constructor(
    private readonly transactions: Transactions,
    private readonly clock: Clock,
  ) {}

  patch(planId: string, id: string, patch: object, ifMatch: string | undefined): Promise<PlannedVisitView> {
    return this.transactions.write(async (tx) => {
      const { fleetId } = fleetScope();
      const plan = await lockedRowOf(tx, VisitPlan, planId, 'visit plan');
      const visit = await lockedRowOf(tx, PlannedVisit, id, 'visit in this plan');
      if (visit.visitPlanId !== planId) throw notFound('visit in this plan');
      assertCanBeChanged(plan);
      assertUnchanged(ifMatch, visit.version);
      const before = { pinned: visit.isPinned, day: visit.day, dropped: visit.isDropped };
      const input = await validated(PlannedVisitInput, mergePatch(before, patch));
      const wanted = decisionOf(before, input, patch);
      const isOther = wanted.day !== before.day || wanted.dropped !== before.dropped;
      const lines = await plannedLineRows(tx, fleetId, planId, id);
      const joined = isOther && !wanted.dropped ? await this.place(tx, plan, visit, wanted.day, lines) : null;
      const shownId = joined?.id ?? id;
      if (joined) await this.join(tx, visit, joined);
      const all = joined ? await plannedLineRows(tx, fleetId, planId, joined.id) : lines;
      const kept = joined ?? visit;
      const depot = await tx.findOneByOrFail(Depot, { fleetId, id: visit.depotId });
      await tx.update(
        PlannedVisit,
        { fleetId, id: shownId },
        {
          ...{ day: wanted.day, isPinned: wanted.pinned, isDropped: wanted.dropped },
          ...this.reckoned(plan, depot, wanted, all.map(asLine)),
          version: kept.version + 1,
        },
      );
      await tx.update(
        VisitPlan,
        { fleetId, id: planId },
        { version: plan.version + 1, changedSinceSolved: plan.changedSinceSolved || isOther },
      );
      const [row] = await plannedVisitRows(tx, fleetId, planId, shownId);
      if (!row) throw notFound('visit in this plan');
      return plannedVisitView(row, all);
    }, 200);
  }

  /** The hours and cost of a visit after the decision. */
  private reckoned(plan: VisitPlan, depot: Depot, wanted: Decision, lines: LineToPlan[]) {
    const rates = ratesOf(plan);
    const hours = visitHours(lines);
    if (!wanted.dropped) return { hours, cost: visitCost(lines, epochDayOf(wanted.day), rates) };
    const { dayAfter } = workingDays(plan.fromOn, plan.toOn, workingTimeOf(depot));
    const later = {
      days: [],
      hoursOn: new Map(),
      lines: [],
      dayAfter: dayAfter ?? epochDayOf(plan.toOn),
      rates,
    };
    return { hours, cost: costLeftOut(lines, later) };
  }

  /**
   * Checks that a visit may be moved to a day.
   *
   * @returns the visit that the vehicle already has on that day and that this one joins; null when
   * there is none
   * @throws Problem 422 with the reason and the limit
   */
  private async place(
    tx: EntityManager,
    plan: VisitPlan,
    visit: PlannedVisit,
    day: string,
    lines: PlannedLineRow[],
  ): Promise<PlannedVisit | null> {
    const { fleetId, timeZone } = fleetScope();
    const depot = await tx.findOneByOrFail(Depot, { fleetId, id: visit.depotId });
    const today = civilDateAt(this.clock.now().getTime(), timeZone);
    const fault = faultInPlan(plan, depot, lines, day, today);
    if (fault !== null) throw unacceptable([{ pointer: '/day', detail: fault }]);
    const there = await tx.findOneBy(PlannedVisit, {
      ...{ fleetId, visitPlanId: plan.id, vehicleId: visit.vehicleId, day, isDropped: false },
    });
    const joined = there !== null && there.id !== visit.id ? there : null;
    const together = joined ? [...lines, ...(await plannedLineRows(tx, fleetId, plan.id, joined.id))] : lines;
    await this.assertRoom(tx, plan, depot, { id: joined?.id ?? visit.id, day }, visitHours(together));
    return joined;
  }

  private async assertRoom(
    tx: EntityManager,
    plan: VisitPlan,
    depot: Depot,
    { id, day }: { id: string; day: string },
    hours: number,
  ): Promise<void> {
    const { fleetId } = fleetScope();
    const planned = await hoursPlanned(tx, fleetId, plan.id, { id, depotId: depot.id, day });
    const [confirmed] = await hoursTaken(tx, fleetId, [depot.id], { from: day, to: day });
    const taken = planned + (confirmed?.hours ?? 0);
    const limit = labourHoursOf(depot);
    if (taken + hours <= limit + HOURS_ROUNDING) return;
    const detail = message('visit-day-full', { day, depot: depot.name, taken, limit, hours });
    throw unacceptable([{ pointer: '/day', detail }]);
  }

  /** Moves the lines of a visit into another visit of the same vehicle and day. */
  private async join(
    tx: EntityManager,
    { fleetId, id, visitPlanId }: PlannedVisit,
    into: PlannedVisit,
  ): Promise<void> {
    await tx.update(PlannedLine, { fleetId, visitPlanId, plannedVisitId: id }, { plannedVisitId: into.id });
    await tx.delete(PlannedVisit, { fleetId, id });
  }
}

/** Why a visit with these lines cannot be on a day of the plan; null when it can. */
function faultInPlan(
  { fromOn, toOn }: VisitPlan,
  depot: Depot,
  lines: PlannedLineRow[],
  day: string,
  today: string,
): Message | null {
  if (day < fromOn || day > toOn) return message('visit-day-outside-plan', { day, from: fromOn, to: toOn });
  return dayFault(depot, lines, day, today);
}

interface Decision {
  pinned: boolean;
  day: string;
  dropped: boolean;
}

/**
 * The decision after a patch.
 *
 * @throws Problem 422 when the patch contradicts itself
 */
function decisionOf(before: Decision, input: PlannedVisitInput, patch: object): Decision {
  const fault = (pointer: string, detail: Message) => unacceptable([{ pointer, detail }]);
  const asked = patch as Partial<Record<keyof Decision, unknown>>;
  const dropped = input.dropped ?? false;
  const isMoved = input.day !== before.day;
  if (isMoved && asked.pinned === false) throw fault('/pinned', message('visit-moved-is-pinned'));
  if (isMoved && dropped) throw fault('/day', message('visit-moved-and-dropped'));
  if (dropped && asked.pinned === true) throw fault('/pinned', message('visit-pinned-and-dropped'));
  return { day: input.day, dropped, pinned: !dropped && (isMoved || (input.pinned ?? false)) };
}

function asLine(row: PlannedLineRow): LineToPlan {
  return toPlan({ id: row.dueLineId, vehicleId: row.vehicleId }, row, row.labour);
}

/** @throws Problem 409 */
export function assertCanBeChanged(plan: VisitPlan): void {
  if (plan.state === 'confirmed') throw confirmedAlready(plan);
  if (plan.state === 'failed')
    throw conflict(
      'plan-failed',
      plan.problem === null
        ? message('plan-failed-unexplained')
        : message('plan-failed', { problem: plan.problem }),
    );
  if (plan.state !== 'solved') throw conflict('still-being-solved', message('plan-still-being-solved'));
}

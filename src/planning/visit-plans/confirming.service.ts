import { Injectable } from '@nestjs/common';
import { type EntityManager, In } from 'typeorm';
import { Depot } from '../../entities/depot.entity.js';
import { epochDayOf } from '../../domain/calendar/civil-date.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import type { Message } from '../../domain/message.js';
import { visitHours } from '../../domain/visits/labour-hours.js';
import { HOURS_ROUNDING, visitCost } from '../../domain/visits/visit-cost.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockedRowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { conflict } from '../../platform/problems/problem.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import {
  type ConfirmedVisit,
  insertVisits,
  linesToConfirm,
  type LineToConfirm,
  lockDepots,
  takeOutOfPlan,
  vehiclesOfPlan,
} from './confirming.queries.js';
import { labourHoursOf, ratesOf, toPlan } from './depot-problems.js';
import { message } from './messages.js';
import { assertCanBeChanged } from './planned-visits.service.js';
import type { VisitPlanView } from './visit-plan.dto.js';
import { VisitPlan } from '../../entities/visit-plan.entity.js';
import { hoursTaken } from './visit-plans.queries.js';
import { shownPlan } from './visit-plans.service.js';

/** The problem names this many days that lack hours, and gives the number of further ones. */
const MOST_NAMED = 5;

/** Confirms plans: turns their proposals into visits. */
@Injectable()
export class ConfirmingService {
  constructor(
    private readonly transactions: Transactions,
    private readonly clock: Clock,
  ) {}

  /**
   * Confirms a plan. Lines that have changed since it was solved are not confirmed; they stay in
   * the plan, with the reason.
   */
  confirm(id: string): Promise<VisitPlanView> {
    return this.transactions.write(async (tx) => {
      const { fleetId, timeZone } = fleetScope();
      const plan = await lockedRowOf(tx, VisitPlan, id, 'visit plan');
      if (plan.state === 'confirmed') return shownPlan(tx, id);
      assertCanBeChanged(plan);
      const now = this.clock.now();
      // All writers lock in this order: first vehicles, then their conclusions.
      await lockVehicles(tx, fleetId, await vehiclesOfPlan(tx, fleetId, id), []);
      await lockDepots(tx, fleetId, id);
      const lines = await linesToConfirm(tx, fleetId, id);
      const today = civilDateAt(now.getTime(), timeZone);
      const out = lines.flatMap((line) => {
        const reason = whyNot(line, today);
        return reason === null ? [] : [{ dueLineId: line.dueLineId, reason }];
      });
      const outIds = new Set(out.map(({ dueLineId }) => dueLineId));
      const kept = lines.filter(({ dueLineId }) => !outIds.has(dueLineId));
      if (kept.length === 0)
        throw conflict('nothing-to-confirm', nothingToConfirm(out.map(({ reason }) => reason)));
      const visits = visitsOf(plan, kept);
      await assertHoursFree(tx, visits);
      const confirmedLines = kept.map(({ visitId, dueLineId, day, depotId, labour }) => ({
        ...{ visitId, dueLineId, day, depotId, hours: visitHours([{ labour }]) },
      }));
      await insertVisits(tx, fleetId, id, now, visits, confirmedLines);
      await takeOutOfPlan(tx, fleetId, id, out, visits);
      const changed = { state: 'confirmed' as const, confirmedAt: now, version: plan.version + 1 };
      const isOther = plan.changedSinceSolved || out.length > 0;
      await tx.update(VisitPlan, { fleetId, id }, { ...changed, changedSinceSolved: isOther });
      return shownPlan(tx, id);
    }, 200);
  }
}

function whyNot(line: LineToConfirm, today: string): Message | null {
  if (line.otherVisitOn !== null) return message('visit-left-other-visit', { on: line.otherVisitOn });
  if (!line.isStillToDo) return message('visit-left-done-since', { on: line.lastDoneOn ?? '' });
  if (!line.isOpen) return message('visit-left-not-due');
  if (!line.isAtDepot) return message('visit-left-vehicle-moved');
  return line.day < today ? message('visit-left-day-past', { day: line.day }) : null;
}

function nothingToConfirm([reason]: Message[]): Message {
  return reason === undefined
    ? message('plan-nothing-to-confirm')
    : message('plan-nothing-confirmable', { reason });
}

/** The visits with their remaining lines. */
function visitsOf(plan: VisitPlan, lines: LineToConfirm[]): ConfirmedVisit[] {
  const byVisit = new Map<string, LineToConfirm[]>();
  for (const line of lines) {
    const own = byVisit.get(line.visitId);
    if (own) own.push(line);
    else byVisit.set(line.visitId, [line]);
  }
  return [...byVisit].flatMap(([id, own]) => {
    const [first] = own;
    if (!first) return [];
    const { vehicleId, depotId, day } = first;
    const planned = own.map((line) => toPlan({ id: line.dueLineId, vehicleId }, line, line.labour));
    const cost = visitCost(planned, epochDayOf(day), ratesOf(plan));
    return [{ ...{ id, vehicleId, depotId, day }, hours: visitHours(planned), cost }];
  });
}

/**
 * @throws Problem 409 when other visits have used the hours since the plan was solved, or the depot
 * now has fewer
 */
async function assertHoursFree(tx: EntityManager, visits: ConfirmedVisit[]): Promise<void> {
  const { fleetId } = fleetScope();
  const depotIds = [...new Set(visits.map(({ depotId }) => depotId))];
  const days = visits.map(({ day }) => day).sort();
  const depots = await tx.find(Depot, { where: { fleetId, id: In(depotIds) } });
  const span = { from: days[0] ?? '', to: days.at(-1) ?? '' };
  const hours = new Map<string, { day: string; depotId: string; hours: number }>();
  for (const { day, depotId, hours: each } of [
    ...(await hoursTaken(tx, fleetId, depotIds, span)),
    ...visits,
  ]) {
    const key = `${day} ${depotId}`;
    hours.set(key, { day, depotId, hours: (hours.get(key)?.hours ?? 0) + each });
  }
  const asked = new Set(visits.map(({ day, depotId }) => `${day} ${depotId}`));
  const short = [...hours].flatMap(([key, { day, depotId, hours: sum }]) => {
    const depot = depots.find(({ id }) => id === depotId);
    const limit = depot ? labourHoursOf(depot) : 0;
    if (!asked.has(key) || sum <= limit + HOURS_ROUNDING) return [];
    return [message('plan-hours-short', { day, depot: depot?.name ?? depotId, taken: sum, limit })];
  });
  if (short.length === 0) return;
  const more = Math.max(0, short.length - MOST_NAMED);
  throw conflict('hours-taken', message('plan-hours-taken', { days: short.slice(0, MOST_NAMED), more }));
}

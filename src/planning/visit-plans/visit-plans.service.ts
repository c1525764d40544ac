import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager, In } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { Depot } from '../../entities/depot.entity.js';
import { addDays, epochDayOf } from '../../domain/calendar/civil-date.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import type { Message } from '../../domain/message.js';
import { Clock } from '../../platform/clock/clock.js';
import { Config } from '../../platform/config/config.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockedRowOf, type PageQuery, rowOf, readPage } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import type { Page } from '../../platform/pages/pages.js';
import {
  conflict,
  type FieldFault,
  type Problem,
  unacceptable,
  noSuch,
} from '../../platform/problems/problem.js';
import { WorkQueue } from '../../platform/queue/work-queue.js';
import { rangeExchanged } from '../../platform/fields/wording.js';
import { message } from './messages.js';
import { planJob } from './plan-job.js';
import { planView, summaryOf } from './plan-view.js';
import type { VisitPlanInput, VisitPlanSummary, VisitPlanView } from './visit-plan.dto.js';
import { VisitPlan } from '../../entities/visit-plan.entity.js';
import { plannedLineRows, plannedVisitRows } from './visit-plans.queries.js';
import { assertRoomForPlan } from './waiting-plans.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';

/** A quarter. Projected dates beyond that mean little. */
const MOST_DAYS = 92;

const BY_ID = new Keyset('visit-plans', { id: KEY.uuid });

@Injectable()
export class VisitPlansService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly queue: WorkQueue,
    private readonly clock: Clock,
    private readonly config: Config,
  ) {}

  /** Newest first, because ids rise with time. */
  async list(query: PageQuery): Promise<Page<VisitPlanSummary>> {
    const page = BY_ID.page(query);
    const builder = this.dataSource.manager
      .createQueryBuilder(VisitPlan, 'p')
      .where('p.fleetId = :fleetId', { fleetId: fleetScope().fleetId });
    return page.of(await readPage(builder, page, 'DESC'), summaryOf);
  }

  async get(id: string): Promise<VisitPlanView> {
    return shownPlan(this.dataSource.manager, id);
  }

  /** Requests a plan. The worker solves it. */
  async create(input: VisitPlanInput): Promise<VisitPlanView> {
    const { fleetId, timeZone, tokenId } = fleetScope();
    const now = this.clock.now();
    const faults = rangeFaults(input, civilDateAt(now.getTime(), timeZone));
    if (faults.length > 0) throw unacceptable(faults);
    const view = await this.transactions.write(async (tx) => {
      const depotIds = input.depotIds?.map((id) => id.toLowerCase()) ?? null;
      await assertDepotsThere(tx, depotIds);
      await this.assertRoom(tx);
      const { labourRate, downtimeCostPerDay, latenessCostPerDay } = input;
      const id = uuidv7();
      await tx.insert(VisitPlan, {
        ...{ fleetId, id, fromOn: input.from, toOn: input.to, depotIds, state: 'waiting' },
        ...{ labourRate, downtimeCostPerDay, latenessCostPerDay, requestedAt: now, tokenId },
      });
      return planView(await rowOf(tx, VisitPlan, id, 'visit plan'), [], []);
    });
    await this.queue.add('planning', [planJob(fleetId)]);
    return view;
  }

  /**
   * Requests that a plan be solved again, keeping the manager's decisions. Does nothing when it is
   * already waiting or being solved.
   */
  async solve(id: string): Promise<VisitPlanView> {
    const { fleetId, timeZone } = fleetScope();
    const view = await this.transactions.write(async (tx) => {
      const plan = await lockedRowOf(tx, VisitPlan, id, 'visit plan');
      if (plan.state === 'confirmed') throw confirmedAlready(plan);
      if (plan.state === 'waiting' || plan.state === 'solving') return planView(plan, [], []);
      const today = civilDateAt(this.clock.now().getTime(), timeZone);
      if (plan.toOn < today) throw conflict('plan-is-past', message('plan-is-past', { to: plan.toOn }));
      await this.assertRoom(tx);
      const changed = {
        ...{ state: 'waiting' as const, round: plan.round + 1, attempts: 0, depots: [], problem: null },
        version: plan.version + 1,
      };
      await tx.update(VisitPlan, { fleetId, id }, changed);
      return planView(Object.assign(plan, changed), [], []);
    }, 202);
    await this.queue.add('planning', [planJob(fleetId)]);
    return view;
  }

  private assertRoom(tx: EntityManager): Promise<void> {
    const { fleetLimits, visitPlanSeconds } = this.config;
    return assertRoomForPlan(tx, fleetScope().fleetId, fleetLimits.waitingPlans, visitPlanSeconds);
  }

  async remove(id: string): Promise<void> {
    await this.transactions.write(async (tx) => {
      const plan = await lockedRowOf(tx, VisitPlan, id, 'visit plan');
      if (plan.state === 'confirmed') throw confirmedAlready(plan);
      await tx.delete(VisitPlan, { fleetId: plan.fleetId, id });
    });
  }
}

/** A plan with its visits. @throws Problem 404 */
export async function shownPlan(manager: EntityManager, id: string): Promise<VisitPlanView> {
  const plan = await rowOf(manager, VisitPlan, id, 'visit plan');
  const visits = await plannedVisitRows(manager, plan.fleetId, id);
  return planView(plan, visits, await plannedLineRows(manager, plan.fleetId, id));
}

export function confirmedAlready({ confirmedAt }: VisitPlan): Problem {
  const at = confirmedAt?.toISOString() ?? '';
  return conflict('confirmed-already', message('plan-confirmed-already', { at }));
}

function rangeFaults({ from, to }: VisitPlanInput, today: string): FieldFault[] {
  const fault = (pointer: string, detail: Message): FieldFault[] => [{ pointer, detail }];
  if (to < from) return fault('/to', rangeExchanged({ from, to }));
  if (from < today) return fault('/from', message('plan-begins-in-past', { from, today }));
  const days = epochDayOf(to) - epochDayOf(from) + 1;
  if (days <= MOST_DAYS) return [];
  const latest = addDays(from, MOST_DAYS - 1);
  return fault('/to', message('plan-too-long', { to, days, most: MOST_DAYS, latest }));
}

async function assertDepotsThere(tx: EntityManager, depotIds: string[] | null): Promise<void> {
  if (depotIds === null) return;
  if (depotIds.length === 0)
    throw unacceptable([{ pointer: '/depotIds', detail: message('plan-names-no-depot') }]);
  const found = await tx.find(Depot, {
    where: { fleetId: fleetScope().fleetId, id: In(depotIds) },
    select: { id: true },
  });
  const known = new Set(found.map(({ id }) => id));
  const faults = depotIds.flatMap((id, index) =>
    known.has(id) ? [] : [{ pointer: `/depotIds/${index}`, detail: noSuch('depot') }],
  );
  if (faults.length > 0) throw unacceptable(faults);
}

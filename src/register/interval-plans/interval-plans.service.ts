import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { listBy, lockedRowOf, type PageQuery, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { assertUnchanged } from '../../platform/resources/etags.js';
import { mergePatch } from '../../platform/input/merge-patch.js';
import type { Page } from '../../platform/pages/pages.js';
import { unacceptable } from '../../platform/problems/problem.js';
import { validated } from '../../platform/input/validation.pipe.js';
import { assertNeverAssigned } from '../../entities/assigned.js';
import { confirmedNow, FROM_NO_SET, notReadyMade } from '../starter-mark/starter-mark.js';
import { columnsOf, inputOf, viewOf } from './interval-plan-columns.js';
import { intervalPlanFaults } from './interval-plan-faults.js';
import { type IntervalPlanDryRun, IntervalPlanInput, type IntervalPlanView } from './interval-plan.dto.js';
import { IntervalPlan } from '../../entities/interval-plan.entity.js';
import { markUnchanged, starterIntervalPointers, withoutMarks } from './starter-intervals.js';
import { linesUnder } from './interval-plans.queries.js';
import { linesCompared } from './lines-compared.js';

@Injectable()
export class IntervalPlansService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  list(query: PageQuery): Promise<Page<IntervalPlanView>> {
    return listBy(this.dataSource.manager, IntervalPlan, 'name', query, {}, () => undefined, viewOf);
  }

  async get(id: string): Promise<IntervalPlanView> {
    return viewOf(await rowOf(this.dataSource.manager, IntervalPlan, id, 'interval plan'));
  }

  create(input: IntervalPlanInput): Promise<IntervalPlanView> {
    return this.transactions.write(async (tx) => {
      assertConsistent(input);
      const plan = Object.assign(new IntervalPlan(), {
        fleetId: fleetScope().fleetId,
        id: uuidv7(),
        version: 1,
        ...FROM_NO_SET,
        ...columnsOf(input),
      });
      await tx.insert(IntervalPlan, plan);
      return viewOf(plan);
    });
  }

  patch(id: string, patch: unknown, ifMatch: string | undefined): Promise<IntervalPlanView> {
    return this.transactions.write((tx) => this.change(tx, id, patch, ifMatch));
  }

  /** What `patch` would do to the due list today. Nothing is stored. */
  tryOut(id: string, patch: unknown, ifMatch: string | undefined): Promise<IntervalPlanDryRun> {
    return this.transactions.tryOut(async (tx) => {
      const asOf = civilDateAt(this.clock.now().getTime(), fleetScope().timeZone);
      const before = await linesUnder(tx, id, asOf);
      await this.change(tx, id, patch, ifMatch);
      return { dryRun: true, asOf, ...linesCompared(before, await linesUnder(tx, id, asOf)) };
    });
  }

  /** Records that the ready-made intervals of the plan are right; harmless to repeat. */
  confirm(id: string): Promise<IntervalPlanView> {
    return this.transactions.write(async (tx) => {
      const plan = await lockedRowOf(tx, IntervalPlan, id, 'interval plan');
      if (plan.starterSet === null) throw notReadyMade('plan');
      if (starterIntervalPointers(plan).length === 0) return viewOf(plan);
      const now = confirmedNow(this.clock.now());
      const changed = { ...now, intervals: withoutMarks(plan.intervals), version: plan.version + 1 };
      await tx.update(IntervalPlan, { fleetId: plan.fleetId, id }, changed);
      await this.conclusions.refreshTouched(tx, { intervalPlanId: id });
      return viewOf(Object.assign(plan, changed));
    });
  }

  async remove(id: string): Promise<void> {
    await this.transactions.write(async (tx) => {
      const { fleetId } = await lockedRowOf(tx, IntervalPlan, id, 'interval plan');
      await tx.delete(IntervalPlan, { fleetId, id });
      await assertNeverAssigned(tx, { intervalPlanId: id });
    });
  }

  private async change(
    tx: EntityManager,
    id: string,
    patch: unknown,
    ifMatch: string | undefined,
  ): Promise<IntervalPlanView> {
    const plan = await lockedRowOf(tx, IntervalPlan, id, 'interval plan');
    assertUnchanged(ifMatch, plan.version);
    const input = await validated(IntervalPlanInput, mergePatch(inputOf(plan), patch));
    assertConsistent(input);
    const { name, intervals } = columnsOf(input);
    const changed = { name, intervals: markUnchanged(plan.intervals, intervals), version: plan.version + 1 };
    await tx.update(IntervalPlan, { fleetId: plan.fleetId, id }, changed);
    await this.conclusions.refreshTouched(tx, { intervalPlanId: id });
    return viewOf(Object.assign(plan, changed));
  }
}

function assertConsistent(input: IntervalPlanInput): void {
  const faults = intervalPlanFaults(input);
  if (faults.length > 0) throw unacceptable(faults);
}

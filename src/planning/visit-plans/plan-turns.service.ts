import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { workForFleet } from '../../register/fleets/fleet-work.js';
import { WorkQueue } from '../../platform/queue/work-queue.js';
import type { Afterwards } from '../../platform/queue/work-runner.js';
import { planJob } from './plan-job.js';
import { PlanSolvingService } from './plan-solving.service.js';
import { nextPlan } from './waiting-plans.js';

/**
 * Solves visit plans, taking the fleets in turn. A fleet that asks for many plans does not delay
 * the others.
 */
@Injectable()
export class PlanTurnsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly solving: PlanSolvingService,
    private readonly queue: WorkQueue,
  ) {}

  /**
   * Solves the next plan of a fleet. If the fleet has more plans, it queues up again behind the
   * others.
   */
  async take(fleetId: string): Promise<Afterwards> {
    const plan = await this.next(fleetId);
    if (plan !== null) await this.solving.solve(fleetId, plan.id, plan.round);
    return async () => {
      if ((await this.next(fleetId)) !== null) await this.queue.add('planning', [planJob(fleetId)]);
    };
  }

  private next(fleetId: string): ReturnType<typeof nextPlan> {
    return workForFleet(this.dataSource, fleetId, () => nextPlan(this.dataSource.manager, fleetId));
  }
}

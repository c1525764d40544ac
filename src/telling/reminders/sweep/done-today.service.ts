import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { civilDateAt } from '../../../domain/calendar/zone.js';
import { workForFleet } from '../../../register/fleets/fleet-work.js';
import { Clock } from '../../../platform/clock/clock.js';
import type { JobData } from '../../../platform/queue/connections.js';

/** The column that records the day on which a fleet's routine last ran. */
export type DoneOn = 'swept_on' | 'cohorts_on';

/**
 * Keeps a daily routine from running twice. The schedule and the check for missed routines may both
 * have queued it, and a fleet that changes its time zone may reach the same morning again.
 */
@Injectable()
export class DoneToday {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  /** Does a job's work, unless the job is a once-a-day job that has already run today. */
  async unlessDone({ fleetId, once }: JobData, doneOn: DoneOn, work: () => Promise<void>): Promise<void> {
    if (once !== undefined && (await this.isDone(String(fleetId), doneOn))) return;
    await work();
  }

  private async isDone(fleetId: string, doneOn: DoneOn): Promise<boolean> {
    const isDone = await workForFleet(this.dataSource, fleetId, async ({ timeZone }) => {
      const today = civilDateAt(this.clock.now().getTime(), timeZone);
      const [row] = await this.dataSource.query<unknown[]>(
        `select from fleet_sweeps where fleet_id = $1 and ${doneOn} >= $2`,
        [fleetId, today],
      );
      return row !== undefined;
    });
    return isDone ?? false;
  }
}

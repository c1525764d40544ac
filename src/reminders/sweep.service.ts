import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { civilDateAt } from '../domain/calendar/zone.js';
import { workForFleet } from '../fleets/fleet-work.js';
import { Clock } from '../platform/clock/clock.js';
import { WorkQueue } from '../platform/queue/work-queue.js';
import { deliveryJob } from './delivery-jobs.js';
import { STAGES } from './reminder.entity.js';
import { withinHours } from './send-hours.js';
import {
  markSwept,
  type NewReminder,
  recordReminders,
  supersedeLower,
  type SweepPart,
  type Untold,
  untold,
} from './sweep.queries.js';

/** So many reminders are recorded in one transaction. */
const BATCH = 1000;

/** Finds the due lines that have entered a stage, and records and queues a reminder for each target that hears of it. */
@Injectable()
export class SweepService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly queue: WorkQueue,
  ) {}

  /** Sweeps a fleet, for all its targets or for one. */
  async sweepFleet(fleetId: string, targetId?: string): Promise<void> {
    await this.sweep(fleetId, targetId === undefined ? {} : { targetId });
  }

  /** Sweeps some vehicles, after something was recorded about them. */
  async sweepVehicles(fleetId: string, vehicleIds: string[]): Promise<void> {
    await this.sweep(fleetId, { vehicleIds });
  }

  private async sweep(fleetId: string, part: SweepPart): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async ({ timeZone, greatestLeadDays }) => {
      const now = this.clock.now();
      const today = civilDateAt(now.getTime(), timeZone);
      for (let full = true; full;) {
        const found = await untold(this.dataSource.manager, fleetId, today, greatestLeadDays, part, BATCH);
        await this.record(fleetId, found, now, timeZone);
        full = found.length === BATCH;
      }
      if (part.vehicleIds === undefined && part.targetId === undefined)
        await markSwept(this.dataSource.manager, fleetId, today);
    });
  }

  private async record(fleetId: string, found: Untold[], now: Date, timeZone: string): Promise<void> {
    if (found.length === 0) return;
    const reminders = found.flatMap((each) => remindersFor(each, now, timeZone));
    const waiting = await this.dataSource.transaction(async (tx) => {
      await supersedeLower(tx, fleetId, found);
      return recordReminders(tx, fleetId, reminders, now);
    });
    await this.queue.add(
      'deliveries',
      waiting.map(({ id, nextAttemptAt }) => deliveryJob(fleetId, id, 1, nextAttemptAt, now)),
    );
  }
}

/** The reminder of the stage the line stands in, and the record that the stages below it were passed over. */
function remindersFor(found: Untold, now: Date, timeZone: string): NewReminder[] {
  const { dueLineId, cycle, targetId, stage, stages, sendFrom, sendTo } = found;
  const hours = sendFrom !== null && sendTo !== null ? { from: sendFrom, to: sendTo } : null;
  const passedOver = STAGES.slice(0, STAGES.indexOf(stage)).filter((lower) => stages.includes(lower));
  const shared = { targetId, dueLineId, cycle, nextAttemptAt: withinHours(now, hours, timeZone) };
  return [
    ...passedOver.map((lower) => ({ ...shared, id: uuidv7(), stage: lower, status: 'superseded' as const })),
    { ...shared, id: uuidv7(), stage, status: 'waiting' },
  ];
}

import {
  type BeforeApplicationShutdown,
  Injectable,
  Logger,
  type OnApplicationBootstrap,
} from '@nestjs/common';
import { Temporal } from 'temporal-polyfill';
import { Clock } from '../platform/clock/clock.js';
import { Config } from '../platform/config/config.js';
import { WorkQueue } from '../platform/queue/work-queue.js';
import { planJob } from '../visit-plans/plan-job.js';
import { WorkerSigns } from '../workers/worker-signs.service.js';
import { deliveryJob } from './delivery-jobs.js';
import { type FleetRoutine, SweepDatabase } from './sweep-database.js';
import { SweepService } from './sweep.service.js';

/** What is done for every fleet once a day, at which hour in its zone, and where it stands written that it was done. */
const ROUTINES = [
  { job: 'sweep-fleet', name: 'morning', hour: 6, doneOn: ({ sweptOn }: FleetRoutine) => sweptOn },
  { job: 'refresh-cohorts', name: 'night', hour: 4, doneOn: ({ cohortsOn }: FleetRoutine) => cohortsOn },
] as const;
type Routine = (typeof ROUTINES)[number];

/** Not for all fleets in the same minute; where one is missed, the next does its work. */
const UNHURRIED = [
  { job: 'prune-events', name: 'events', hours: '*' },
  { job: 'prune-idempotency-records', name: 'idempotency', hours: '*' },
  { job: 'apply-retention', name: 'retention', hours: '3' },
] as const;

const SCHEDULES_EVERY_MS = 5 * 60_000;
const WAITING_AT_A_TIME = 2000;
const FLEETS_AT_A_TIME = 200;
/** What waits may stand in a queue that is behind: then the longest waiting alone are put there again, for they may be lost. */
const WAITING_WHEN_BEHIND = 50;

const schedulerId = ({ name }: { name: string }, fleetId: string): string => `${name}_${fleetId}`;
const SCHEDULER_KEY = /^[a-z]+_([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})$/;
const patternOf = (routine: Routine | (typeof UNHURRIED)[number], fleetId: string): string =>
  'hour' in routine
    ? `0 ${routine.hour} * * *`
    : `${parseInt(fleetId.slice(-4), 16) % 60} ${routine.hours} * * *`;

/**
 * Sees to it that every fleet is seen to in its night and its morning, and that nothing waits for ever.
 *
 * The queue's own schedule does that. It lives in the queue, which can lose it, so a plain timer puts it back, and makes
 * up for nights and mornings that were missed and for jobs that never reached the queue.
 */
@Injectable()
export class SweepSchedule implements OnApplicationBootstrap, BeforeApplicationShutdown {
  private readonly logger = new Logger('sweep');
  private timer: NodeJS.Timeout | undefined;
  private running: Promise<void> = Promise.resolve();
  private isEnding = false;
  /** By the machine's own count of milliseconds; a queue that was away is tried again at the next look. */
  private schedulesDueAt = 0;

  constructor(
    private readonly database: SweepDatabase,
    private readonly queue: WorkQueue,
    private readonly clock: Clock,
    private readonly config: Config,
    private readonly sweeps: SweepService,
    private readonly signs: WorkerSigns,
  ) {
    signs.onWorkerGone(() => this.lookNow());
  }

  onApplicationBootstrap(): void {
    this.timer = setInterval(() => this.lookNow(), this.config.queueCheckMs);
    this.lookNow();
  }

  private lookNow(): void {
    this.running = this.running.then(() => this.look());
  }

  async beforeApplicationShutdown(): Promise<void> {
    this.isEnding = true;
    clearInterval(this.timer);
    await this.running;
  }

  private async look(): Promise<void> {
    try {
      await this.takeUpLostWork();
      await this.sweepRequested();
      if (performance.now() < this.schedulesDueAt) return;
      await this.scheduleMornings();
      this.schedulesDueAt = performance.now() + SCHEDULES_EVERY_MS;
    } catch (error) {
      this.logger.warn(`could not look for work; tried again soon: ${String(error)}`);
    }
  }

  /**
   * Gives every fleet its night and its morning in the queue's schedule, puts right one whose time
   * zone has changed, and takes out what a deleted fleet left there.
   */
  async scheduleMornings(): Promise<void> {
    const queue = this.queue.queue('work');
    const known = new Map(
      (await queue.getJobSchedulers(0, -1)).map((scheduler) => [scheduler.key, scheduler]),
    );
    const fleets = await this.database.fleets();
    const isThere = new Set(fleets.map(({ fleetId }) => fleetId));
    for (const { key } of known.values()) {
      const fleetId = SCHEDULER_KEY.exec(key)?.[1];
      if (fleetId !== undefined && !isThere.has(fleetId)) await queue.removeJobScheduler(key);
    }
    for (const { fleetId, timeZone } of fleets) {
      for (const routine of [...ROUTINES, ...UNHURRIED]) {
        const id = schedulerId(routine, fleetId);
        const pattern = patternOf(routine, fleetId);
        const scheduler = known.get(id);
        // Left alone when it is right: putting it anew at six o'clock sharp could skip the run that is due.
        if (scheduler?.pattern === pattern && scheduler.tz === timeZone) continue;
        await queue.upsertJobScheduler(
          id,
          { pattern, tz: timeZone },
          { name: routine.job, data: { fleetId }, opts: { removeOnComplete: true, removeOnFail: true } },
        );
      }
    }
  }

  /** Queues what should have been done by now: nights and mornings that were missed, plans of visits, and reminders whose time has come. */
  async takeUpLostWork(): Promise<void> {
    const now = this.clock.now();
    const fleets = await this.database.fleets();
    const missed = ROUTINES.flatMap((routine) =>
      fleets.flatMap((fleet) => {
        const day = this.missedDay(routine, fleet, now);
        const { fleetId } = fleet;
        return day === null
          ? []
          : [{ name: routine.job, id: `${routine.name}_${fleetId}_${day}`, data: { fleetId } }];
      }),
    );
    await this.queue.add('work', missed);
    // The job of a fleet that waits or has its turn just now is still there, and the same is not
    // queued again.
    const planning = await this.database.fleetsWithUnsolvedPlans(FLEETS_AT_A_TIME);
    await this.queue.add(
      'planning',
      planning.map(({ fleetId }) => planJob(fleetId)),
    );
    const isBehind = (await this.queue.waiting('deliveries')) > 0;
    const most = isBehind ? WAITING_WHEN_BEHIND : WAITING_AT_A_TIME;
    const waiting = await this.database.waitingReminders(now, most);
    const cutOff = await this.database.cutOffReminders(most);
    await this.queue.add(
      'deliveries',
      [...waiting, ...cutOff].map(({ fleetId, reminderId, attempts }) => {
        const job = deliveryJob(fleetId, reminderId, attempts + 1, now, now);
        // An id of its own: the job that is found missing may only stand in the queue with a delay that no longer holds, or
        // with the lock of a worker that is gone, as may one that such a worker found.
        return { ...job, id: `${job.id}_found_${this.signs.id}` };
      }),
    );
  }

  /**
   * Sweeps the vehicles that are still asked for, without the queue, which may have lost the call or be away. Where a
   * worker is at it, nothing is left to do.
   */
  async sweepRequested(): Promise<void> {
    for (let after: string | null = null; ;) {
      const fleetIds = await this.database.fleetsWithRequests(after, FLEETS_AT_A_TIME);
      for (const fleetId of fleetIds) await this.sweeps.sweepRequested(fleetId);
      after = fleetIds.at(-1) ?? null;
      if (after === null || this.isEnding) return;
    }
  }

  /** Today in the fleet's zone, if the routine's hour has come and it has not been done; else null. */
  private missedDay(routine: Routine, fleet: FleetRoutine, now: Date): string | null {
    const { fleetId, timeZone } = fleet;
    const doneOn = routine.doneOn(fleet);
    try {
      const local = Temporal.Instant.fromEpochMilliseconds(now.getTime()).toZonedDateTimeISO(timeZone);
      const today = local.toPlainDate().toString();
      return local.hour >= routine.hour && (doneOn === null || doneOn < today) ? today : null;
    } catch (error) {
      this.logger.error(`the fleet ${fleetId} has no usable time zone: ${String(error)}`);
      return null;
    }
  }
}

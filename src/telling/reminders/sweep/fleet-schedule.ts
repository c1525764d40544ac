import {
  type BeforeApplicationShutdown,
  Injectable,
  Logger,
  type OnApplicationBootstrap,
} from '@nestjs/common';
import { Clock } from '../../../platform/clock/clock.js';
import { Config } from '../../../platform/config/config.js';
import { WorkQueue } from '../../../platform/queue/work-queue.js';
import { planJob } from '../../../planning/visit-plans/plan-job.js';
import { WorkerSigns } from '../../workers/worker-signs.service.js';
import { CrossFleetDatabase } from '../across-fleets/cross-fleet-database.js';
import { deliveryJob } from '../delivery/delivery-jobs.js';
import { dataOf, missedBy, patternOf, ROUTINES, UNHURRIED } from './daily-routines.js';
import { MadeUp, madeUpJobId } from './missed-routines.js';
import { SweepService } from './sweep.service.js';

const SCHEDULES_EVERY_MS = 5 * 60_000;
const WAITING_AT_A_TIME = 2000;
const FLEETS_AT_A_TIME = 200;
/**
 * When the queue is behind, only the oldest waiting reminders are queued again: the others may well
 * be in it.
 */
const WAITING_WHEN_BEHIND = 50;

const schedulerId = ({ name }: { name: string }, fleetId: string): string => `${name}_${fleetId}`;
const SCHEDULER_KEY = /^[a-z]+_([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})$/;

/**
 * Sees to it that every fleet is seen to in its night and its morning, and that nothing waits for
 * ever.
 *
 * The queue's own schedule does that. It lives in the queue, which can lose it, so a plain timer
 * puts it back, and makes up for nights and mornings that were missed and for jobs that never
 * reached the queue.
 */
@Injectable()
export class FleetSchedule implements OnApplicationBootstrap, BeforeApplicationShutdown {
  private readonly logger = new Logger('sweep');
  private timer: NodeJS.Timeout | undefined;
  private running: Promise<void> = Promise.resolve();
  private scheduling: Promise<void> | null = null;
  private isLookingAgain = false;
  private isEnding = false;
  /**
   * By the machine's own count of milliseconds; a queue that was away is tried again at the next
   * look.
   */
  private schedulesDueAt = 0;
  private readonly madeUp = new MadeUp();

  constructor(
    private readonly database: CrossFleetDatabase,
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

  /** One look at a time; who asks for another meanwhile gets it afterwards, once. */
  private lookNow(): void {
    if (this.isLookingAgain) return;
    this.isLookingAgain = true;
    this.running = this.running.then(() => {
      this.isLookingAgain = false;
      return this.isEnding ? undefined : this.look();
    });
  }

  async beforeApplicationShutdown(): Promise<void> {
    this.isEnding = true;
    clearInterval(this.timer);
    await this.running;
    await this.scheduling;
  }

  private async look(): Promise<void> {
    try {
      await this.takeUpLostWork();
      await this.sweepRequested();
    } catch (error) {
      this.complain(error);
    }
    if (performance.now() < this.schedulesDueAt) return;
    // Takes minutes when thousands of fleets are new to the queue; the next look does not wait.
    this.scheduling ??= this.schedule().finally(() => (this.scheduling = null));
  }

  private async schedule(): Promise<void> {
    try {
      await this.scheduleMornings(() => this.isEnding);
      this.schedulesDueAt = performance.now() + SCHEDULES_EVERY_MS;
    } catch (error) {
      this.complain(error);
    }
  }

  private complain(error: unknown): void {
    this.logger.warn(`could not look for work; tried again soon: ${String(error)}`);
  }

  /**
   * Gives every fleet its night and its morning in the queue's schedule, puts right one whose time
   * zone has changed, and takes out what a deleted fleet left there.
   */
  async scheduleMornings(isEnough = () => false): Promise<void> {
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
      if (isEnough()) return;
      for (const routine of [...ROUTINES, ...UNHURRIED]) {
        const id = schedulerId(routine, fleetId);
        const pattern = patternOf(routine, fleetId);
        const scheduler = known.get(id);
        const { job: name, priority } = routine;
        // Left alone when it is right: renewing it at that very second could skip the due run.
        if (
          scheduler?.pattern === pattern &&
          scheduler.tz === timeZone &&
          scheduler.template?.opts?.priority === priority
        )
          continue;
        await queue.upsertJobScheduler(
          id,
          { pattern, tz: timeZone },
          {
            ...{ name, data: dataOf(routine, fleetId) },
            opts: { priority, removeOnComplete: true, removeOnFail: true },
          },
        );
      }
    }
  }

  /**
   * Queues what should have been done by now: nights and mornings that were missed, plans of
   * visits, and reminders whose time has come.
   */
  async takeUpLostWork(): Promise<void> {
    const now = this.clock.now();
    await this.makeUpForMissed(now);
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
    const cutOff = await this.database.cutOffReminders(this.signs.id, most);
    await this.queue.add(
      'deliveries',
      [...waiting, ...cutOff].map(({ fleetId, reminderId, attempts }) => {
        const job = deliveryJob(fleetId, reminderId, attempts + 1, now, now);
        // An id of its own: the job that is found missing may only stand in the queue with a delay
        // that no longer holds, or with the lock of a worker that is gone, as may one that such a
        // worker found.
        return { ...job, id: `${job.id}_found_${this.signs.id}` };
      }),
    );
  }

  /**
   * Sweeps the vehicles that have an outbox row, without the queue, which may have lost the call or
   * be away. Where a worker is already sweeping them, nothing is left to do.
   */
  async sweepRequested(): Promise<void> {
    for (let after: string | null = null; ;) {
      const fleetIds = await this.database.fleetsWithRequests(after, FLEETS_AT_A_TIME);
      for (const fleetId of fleetIds) {
        if (this.isEnding) return;
        // What stands in the way of one fleet is in no other's.
        await this.sweeps.sweepSomeRequested(fleetId).catch((error: unknown) => this.complain(error));
      }
      after = fleetIds.at(-1) ?? null;
      if (after === null) return;
    }
  }

  /** Queues some of the nights and mornings that were missed; the next looks queue the others. */
  private async makeUpForMissed(now: Date): Promise<void> {
    const missed = missedBy(await this.database.fleets(), now, (fleetId, error) =>
      this.logger.error(`the fleet ${fleetId} has no usable time zone: ${String(error)}`),
    );
    if (missed.length === 0) return;
    const waiting = await this.queue.waitingOf(
      'work',
      ROUTINES.map(({ priority }) => priority),
    );
    await this.queue.add(
      'work',
      this.madeUp.next(missed, waiting).map((one) => ({
        name: one.routine.job,
        id: madeUpJobId(one),
        data: dataOf(one.routine, one.fleetId),
        priority: one.routine.priority,
      })),
    );
  }
}

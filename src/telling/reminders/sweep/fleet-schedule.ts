import {
  type BeforeApplicationShutdown,
  Injectable,
  Logger,
  type OnApplicationBootstrap,
} from '@nestjs/common';
import { Clock } from '../../../platform/clock/clock.js';
import { Config } from '../../../platform/config/config.js';
import { WorkQueue } from '../../../platform/queue/work-queue.js';
import { pollJob } from '../../../facts/telematics/polling/poll-job.js';
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
const SOURCES_AT_A_TIME = 2000;
/**
 * When the queue is behind, only the oldest waiting reminders are queued again: the others are
 * probably still in it.
 */
const WAITING_WHEN_BEHIND = 50;

const schedulerId = ({ name }: { name: string }, fleetId: string): string => `${name}_${fleetId}`;
const SCHEDULER_KEY = /^[a-z]+_([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})$/;

/**
 * Makes sure that every fleet's night and morning routines run, and that no work waits for ever.
 *
 * Normally the queue's own schedule does that. But the queue can lose its schedule, so a plain
 * timer restores it, and makes up for missed nights and mornings and for jobs that never reached
 * the queue.
 */
@Injectable()
export class FleetSchedule implements OnApplicationBootstrap, BeforeApplicationShutdown {
  private readonly logger = new Logger('sweep');
  private timer: NodeJS.Timeout | undefined;
  private running: Promise<void> = Promise.resolve();
  private scheduling: Promise<void> | null = null;
  private isLookingAgain = false;
  private isEnding = false;
  /** On the machine's monotonic clock. If the queue was away, the next check tries again. */
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

  /**
   * Runs one check at a time. Any number of calls during a check lead to one more check after it.
   */
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
    // Takes minutes when thousands of fleets are new to the queue, so the next check does not wait
    // for it.
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
   * Schedules every fleet's routines in the queue, corrects those of a fleet whose time zone has
   * changed, and removes those of deleted fleets.
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
        // Leave a correct schedule alone: renewing it in the very second it is due could skip that
        // run.
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
   * Queues overdue work: missed nights and mornings, visit plans, telematics sources, and reminders
   * whose time has come.
   */
  async takeUpLostWork(): Promise<void> {
    const now = this.clock.now();
    await this.makeUpForMissed(now);
    // The job of a fleet that is waiting or being served is still in the queue, and is not queued
    // twice.
    const planning = await this.database.fleetsWithUnsolvedPlans(FLEETS_AT_A_TIME);
    await this.queue.add(
      'planning',
      planning.map(({ fleetId }) => planJob(fleetId)),
    );
    const sources = await this.database.dueSources(now, SOURCES_AT_A_TIME);
    await this.queue.add('sources', sources.map(pollJob));
    const isBehind = (await this.queue.waiting('deliveries')) > 0;
    const most = isBehind ? WAITING_WHEN_BEHIND : WAITING_AT_A_TIME;
    const waiting = await this.database.waitingReminders(now, most);
    const cutOff = await this.database.cutOffReminders(this.signs.id, most);
    await this.queue.add(
      'deliveries',
      [...waiting, ...cutOff].map(({ fleetId, reminderId, attempts }) => {
        const job = deliveryJob(fleetId, reminderId, attempts + 1, now, now);
        // Give it an id of its own. A job with the normal id may still be in the queue with an
        // outdated delay, or locked by a dead worker; the same goes for a job that such a worker
        // queued here.
        return { ...job, id: `${job.id}_found_${this.signs.id}` };
      }),
    );
  }

  /**
   * Sweeps the vehicles that have an outbox row, without the queue: it may have lost the call or be
   * away. If a worker is already sweeping them, there is nothing left to do.
   */
  async sweepRequested(): Promise<void> {
    for (let after: string | null = null; ;) {
      const fleetIds = await this.database.fleetsWithRequests(after, FLEETS_AT_A_TIME);
      for (const fleetId of fleetIds) {
        if (this.isEnding) return;
        // An error in one fleet must not stop the others.
        await this.sweeps.sweepSomeRequested(fleetId).catch((error: unknown) => this.complain(error));
      }
      after = fleetIds.at(-1) ?? null;
      if (after === null) return;
    }
  }

  /** Queues some of the missed nights and mornings; later checks queue the others. */
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

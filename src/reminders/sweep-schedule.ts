import {
  type BeforeApplicationShutdown,
  Injectable,
  Logger,
  type OnApplicationBootstrap,
} from '@nestjs/common';
import { Temporal } from 'temporal-polyfill';
import { Clock } from '../platform/clock/clock.js';
import { WorkQueue } from '../platform/queue/work-queue.js';
import { deliveryJob } from './delivery-jobs.js';
import { type FleetMorning, SweepDatabase } from './sweep-database.js';

/** The hour in the fleet's zone at which it is swept. */
const MORNING_HOUR = 6;
const MORNING = `0 ${MORNING_HOUR} * * *`;

const SCHEDULES_EVERY_MS = 5 * 60_000;
const LOOK_EVERY_MS = 30_000;
const WAITING_AT_A_TIME = 2000;

const schedulerId = (fleetId: string): string => `morning_${fleetId}`;

/**
 * Sees to it that every fleet is swept in its morning and that nothing waits for ever.
 *
 * The queue's own schedule does the mornings. It lives in the queue, which can lose it, so a plain timer puts it back, and makes
 * up for mornings that were missed and for jobs that never reached the queue.
 */
@Injectable()
export class SweepSchedule implements OnApplicationBootstrap, BeforeApplicationShutdown {
  private readonly logger = new Logger('sweep');
  private timer: NodeJS.Timeout | undefined;
  private running: Promise<void> = Promise.resolve();
  /** By the machine's own count of milliseconds; a queue that was away is tried again at the next look. */
  private schedulesDueAt = 0;

  constructor(
    private readonly database: SweepDatabase,
    private readonly queue: WorkQueue,
    private readonly clock: Clock,
  ) {}

  onApplicationBootstrap(): void {
    const look = (): void => {
      this.running = this.running.then(() => this.look());
    };
    this.timer = setInterval(look, LOOK_EVERY_MS);
    look();
  }

  async beforeApplicationShutdown(): Promise<void> {
    clearInterval(this.timer);
    await this.running;
  }

  private async look(): Promise<void> {
    try {
      await this.takeUpLostWork();
      if (performance.now() < this.schedulesDueAt) return;
      await this.scheduleMornings();
      this.schedulesDueAt = performance.now() + SCHEDULES_EVERY_MS;
    } catch (error) {
      this.logger.warn(`could not look for work; tried again soon: ${String(error)}`);
    }
  }

  /** Gives every fleet its morning in the queue's schedule, and puts right one whose time zone has changed. */
  async scheduleMornings(): Promise<void> {
    const queue = this.queue.queue('work');
    const known = new Map(
      (await queue.getJobSchedulers(0, -1)).map((scheduler) => [scheduler.key, scheduler]),
    );
    for (const { fleetId, timeZone } of await this.database.fleets()) {
      const scheduler = known.get(schedulerId(fleetId));
      // Left alone when it is right: putting it anew at six o'clock sharp could skip the run that is due.
      if (scheduler?.pattern === MORNING && scheduler.tz === timeZone) continue;
      await queue.upsertJobScheduler(
        schedulerId(fleetId),
        { pattern: MORNING, tz: timeZone },
        { name: 'sweep-fleet', data: { fleetId }, opts: { removeOnComplete: true, removeOnFail: true } },
      );
    }
  }

  /** Queues what should have been done by now: mornings that were missed, and reminders whose time has come. */
  async takeUpLostWork(): Promise<void> {
    const now = this.clock.now();
    const fleets = await this.database.fleets();
    const missed = fleets.flatMap((fleet) => {
      const day = this.unsweptDay(fleet, now);
      return day === null ? [] : [{ fleetId: fleet.fleetId, day }];
    });
    await this.queue.add(
      'work',
      missed.map(({ fleetId, day }) => ({
        name: 'sweep-fleet' as const,
        id: `sweep_${fleetId}_${day}`,
        data: { fleetId },
      })),
    );
    const waiting = await this.database.waitingReminders(now, WAITING_AT_A_TIME);
    await this.queue.add(
      'deliveries',
      waiting.map(({ fleetId, reminderId, attempts }) => {
        const job = deliveryJob(fleetId, reminderId, attempts + 1, now, now);
        // An id of its own: the job that is found missing may only stand in the queue with a delay that no longer holds.
        return { ...job, id: `${job.id}_found` };
      }),
    );
  }

  /** Today in the fleet's zone, if its morning has come and it has not been swept; else null. */
  private unsweptDay({ fleetId, timeZone, sweptOn }: FleetMorning, now: Date): string | null {
    try {
      const local = Temporal.Instant.fromEpochMilliseconds(now.getTime()).toZonedDateTimeISO(timeZone);
      const today = local.toPlainDate().toString();
      return local.hour >= MORNING_HOUR && (sweptOn === null || sweptOn < today) ? today : null;
    } catch (error) {
      this.logger.error(`the fleet ${fleetId} has no usable time zone: ${String(error)}`);
      return null;
    }
  }
}

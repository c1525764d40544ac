import {
  type BeforeApplicationShutdown,
  Injectable,
  Logger,
  type OnApplicationBootstrap,
  type OnModuleInit,
} from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import type { DeliveryTrouble } from '../../delivery-troubles/delivery-trouble.js';
import { workForFleet } from '../../../register/fleets/fleet-work.js';
import type { Fleet } from '../../../entities/fleet.entity.js';
import { Clock } from '../../../platform/clock/clock.js';
import { WorkQueue } from '../../../platform/queue/work-queue.js';
import { firstDeliveries } from '../delivery/delivery-jobs.js';
import { recordNotices, recordStanding } from '../news/trouble-notices.js';
import type { Queued } from '../news/untold-lines.queries.js';
import { CrossFleetDatabase } from './cross-fleet-database.js';
import { fleetsBehind, lastWorkerSeen } from './trouble.queries.js';

const LOOK_EVERY_MS = 60_000;
const FLEETS_AT_A_TIME = 200;
/**
 * A shorter absence is a restart or an update. Whatever that delayed has arrived before anybody
 * reads about it.
 */
const TOLD_ABSENCE_MS = 3_600_000;

/**
 * Tells targets about trouble that builds up over time: work that is behind, and time without a
 * worker.
 */
@Injectable()
export class TroubleWatch implements OnModuleInit, OnApplicationBootstrap, BeforeApplicationShutdown {
  private readonly logger = new Logger('trouble');
  private timer: NodeJS.Timeout | undefined;
  private running: Promise<void> = Promise.resolve();
  private isEnding = false;
  private lastSeen: { at: Date; isLong: boolean } | null = null;

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly database: CrossFleetDatabase,
    private readonly queue: WorkQueue,
    private readonly clock: Clock,
  ) {}

  /** Runs before the first heartbeat of this process. */
  async onModuleInit(): Promise<void> {
    this.lastSeen = await lastWorkerSeen(this.dataSource.manager, TOLD_ABSENCE_MS);
  }

  onApplicationBootstrap(): void {
    if (this.lastSeen?.isLong) {
      const { at } = this.lastSeen;
      this.inTurn(() => this.tellAbsence(at));
    }
    this.timer = setInterval(() => this.inTurn(() => this.look()), LOOK_EVERY_MS);
  }

  async beforeApplicationShutdown(): Promise<void> {
    this.isEnding = true;
    clearInterval(this.timer);
    await this.running;
  }

  /** Tells a fleet's targets about all current trouble that they have not heard of yet. */
  async tellFleet(fleetId: string): Promise<void> {
    await this.tell(fleetId, recordStanding);
  }

  /** Tells the fleets whose work is behind. */
  async look(): Promise<void> {
    for (let after: string | null = null; ;) {
      const fleets = await fleetsBehind(this.database, this.clock.now(), after, FLEETS_AT_A_TIME);
      for (const { fleetId } of fleets) {
        if (this.isEnding) return;
        await this.tellFleet(fleetId);
      }
      after = fleets.at(-1)?.fleetId ?? null;
      if (after === null) return;
    }
  }

  /** Tells every fleet that no worker ran from `since` until now. */
  async tellAbsence(since: Date): Promise<void> {
    const absence: DeliveryTrouble = { kind: 'no-worker', since, reason: null, target: null };
    for (const { fleetId } of await this.database.fleets()) {
      if (this.isEnding) return;
      await this.tell(fleetId, (tx, fleet, now) => recordNotices(tx, fleet, [absence], now));
    }
  }

  private async tell(
    fleetId: string,
    record: (tx: EntityManager, fleet: Fleet, now: Date) => Promise<Queued[]>,
  ): Promise<void> {
    const now = this.clock.now();
    const recorded = await workForFleet(this.dataSource, fleetId, (fleet) =>
      record(this.dataSource.manager, fleet, now),
    );
    await this.queue.add('deliveries', firstDeliveries(fleetId, recorded ?? [], now));
  }

  private inTurn(work: () => Promise<void>): void {
    this.running = this.running
      .then(work)
      .catch((error: unknown) => this.logger.warn(`could not tell of trouble: ${String(error)}`));
  }
}

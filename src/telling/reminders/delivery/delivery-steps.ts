import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import type { Fleet } from '../../../entities/fleet.entity.js';
import { workForFleet } from '../../../register/fleets/fleet-work.js';
import { Clock } from '../../../platform/clock/clock.js';
import { Config } from '../../../platform/config/config.js';
import { isDatabaseAway } from '../../../platform/database/away.js';
import { BatcherByKey } from '../../../platform/concurrency/batcher.js';
import { WorkerSigns } from '../../workers/worker-signs.service.js';
import { type Acceptance, type Beginning, beginAttempts, endAccepted } from './delivery.queries.js';
import { type ReminderInHand, waitingNow } from '../messages/reminder-in-hand.queries.js';
import { type Telling, tellingsOfLines } from '../messages/messages.js';

/**
 * The lease of an attempt, as a multiple of the send timeout. A worker that has not reported by
 * then counts as dead.
 */
const LEASE_IN_TIMEOUTS = 6;

/**
 * One batch at a time for each fleet and step. It waits a moment for more, because reminders are in
 * no hurry.
 */
const TOGETHER = {
  ...{ concurrency: 1, size: 100, waitMs: 4 },
  isDueToOne: (error: unknown) => !isDatabaseAway(error),
};

/** A reminder that waits to be sent, with its fleet as it is now. */
export interface Waiting {
  fleet: Fleet;
  reminder: ReminderInHand;
  /** For a due line, what the reminder says as of now; null when that is yet to be found out. */
  telling: Telling | null;
  now: Date;
}

/** A recorded attempt: its number and the stored message. */
interface Begun {
  number: number;
  body: string;
}

/**
 * The database steps of a delivery. One statement does a step for all deliveries of a fleet that
 * are in progress.
 */
@Injectable()
export class DeliverySteps {
  private readonly looking = new BatcherByKey<string, Waiting | null>(
    (fleetId, ids) => this.lookAtAll(fleetId, ids),
    TOGETHER,
  );
  private readonly beginning = new BatcherByKey<Beginning, Begun | null>(
    (fleetId, beginnings) => this.beginAll(fleetId, beginnings),
    TOGETHER,
  );
  private readonly accepting = new BatcherByKey<Acceptance, void>(
    (fleetId, accepted) => this.acceptAll(fleetId, accepted),
    TOGETHER,
  );

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly config: Config,
    private readonly signs: WorkerSigns,
  ) {}

  get leaseMs(): number {
    return LEASE_IN_TIMEOUTS * this.config.sendTimeoutMs;
  }

  /** How long to wait after each failed attempt. */
  get retryMs(): readonly number[] {
    return this.config.sendRetryMs;
  }

  /** @returns null when the reminder is not waiting to be sent now */
  look(fleetId: string, reminderId: string): Promise<Waiting | null> {
    return this.looking.ask(fleetId, reminderId);
  }

  /**
   * Begins an attempt and records it. Runs in the fleet's scope. @returns null when the reminder no
   * longer waits for that attempt
   */
  begin(fleetId: string, beginning: Beginning): Promise<Begun | null> {
    return this.beginning.ask(fleetId, beginning);
  }

  /** Records that the receiver has accepted the message. Runs in the fleet's scope. */
  accept(fleetId: string, acceptance: Acceptance): Promise<void> {
    return this.accepting.ask(fleetId, acceptance);
  }

  private async lookAtAll(fleetId: string, ids: string[]): Promise<(Waiting | null)[]> {
    const waiting = await workForFleet(this.dataSource, fleetId, async (fleet) => {
      const { manager } = this.dataSource;
      const now = this.clock.now();
      const reminders = await waitingNow(manager, fleetId, ids, now, this.signs.id);
      const ofLines = reminders.filter(({ news }) => news === 'due-line');
      const tellings = await tellingsOfLines(manager, fleet, ofLines, now);
      const tellingById = new Map(ofLines.map(({ reminderId }, index) => [reminderId, tellings[index]]));
      return new Map(
        reminders.map((reminder) => {
          const telling = tellingById.get(reminder.reminderId) ?? null;
          return [reminder.reminderId, { fleet, reminder, telling, now }];
        }),
      );
    });
    return ids.map((id) => waiting?.get(id) ?? null);
  }

  private async beginAll(fleetId: string, beginnings: Beginning[]): Promise<(Begun | null)[]> {
    const rows = await beginAttempts(
      this.dataSource.manager,
      fleetId,
      beginnings,
      this.leaseMs,
      this.signs.id,
    );
    const begun = new Map(rows.map((row) => [row.reminderId, row]));
    return beginnings.map(({ reminderId, body }) => {
      const attempt = begun.get(reminderId);
      // If the same attempt was requested twice in one batch, only the first request gets it.
      begun.delete(reminderId);
      return attempt ? { number: attempt.number, body: attempt.keptBody ?? body } : null;
    });
  }

  private async acceptAll(fleetId: string, accepted: Acceptance[]): Promise<void[]> {
    await endAccepted(this.dataSource.manager, fleetId, accepted);
    return accepted.map(() => undefined);
  }
}

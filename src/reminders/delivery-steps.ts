import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import type { Fleet } from '../fleets/fleet.entity.js';
import { workForFleet } from '../fleets/fleet-work.js';
import { Clock } from '../platform/clock/clock.js';
import { Config } from '../platform/config/config.js';
import { isDatabaseAway } from '../platform/database/away.js';
import { GatheringByKey } from '../platform/gathering.js';
import {
  type Acceptance,
  type Beginning,
  beginAttempts,
  endAccepted,
  type ReminderInHand,
  takeInHand,
} from './delivery.queries.js';
import { type Telling, tellingsOfLines } from './messages.js';

/** So many times as long as an answer may take is an attempt's lease: who has not reported by then is taken to be dead. */
const LEASE_IN_TIMEOUTS = 6;

/** One round for each fleet and step, and a moment for others to come: a reminder is in no such hurry. */
const TOGETHER = {
  ...{ underWay: 1, atOnce: 100, forMs: 2 },
  mayBeOnesFault: (error: unknown) => !isDatabaseAway(error),
};

/** A reminder that was taken for an attempt, with its fleet as it is now. */
export interface Taken {
  fleet: Fleet;
  reminder: ReminderInHand;
  now: Date;
}

/** An attempt that is on record: its number, and the message that is kept. */
interface Begun {
  number: number;
  body: string;
}

/** What a delivery asks of the database, step by step; of the deliveries that are under way for a fleet, one statement asks for all. */
@Injectable()
export class DeliverySteps {
  private readonly taking = new GatheringByKey<string, Taken | null>(
    (fleetId, ids) => this.takeAll(fleetId, ids),
    TOGETHER,
  );
  private readonly telling = new GatheringByKey<Taken, Telling>(
    (_fleetId, taken) => this.tellAll(taken),
    TOGETHER,
  );
  private readonly beginning = new GatheringByKey<Beginning, Begun | null>(
    (fleetId, beginnings) => this.beginAll(fleetId, beginnings),
    TOGETHER,
  );
  private readonly accepting = new GatheringByKey<Acceptance, void>(
    (fleetId, accepted) => this.acceptAll(fleetId, accepted),
    TOGETHER,
  );

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly config: Config,
  ) {}

  get leaseMs(): number {
    return LEASE_IN_TIMEOUTS * this.config.sendTimeoutMs;
  }

  /** How long to wait after each failed attempt. */
  get retryMs(): readonly number[] {
    return this.config.sendRetryMs;
  }

  /** Takes a reminder for one attempt. @returns null when it does not wait to be sent now */
  take(fleetId: string, reminderId: string): Promise<Taken | null> {
    return this.taking.ask(fleetId, reminderId);
  }

  /** What a reminder of a due line tells, as things stand now. In the fleet's scope. */
  tellLine(taken: Taken): Promise<Telling> {
    return this.telling.ask(taken.fleet.id, taken);
  }

  /** Writes down that an attempt begins. In the fleet's scope. */
  async begin(fleetId: string, beginning: Beginning): Promise<Begun> {
    const begun = await this.beginning.ask(fleetId, beginning);
    if (begun === null) throw new Error(`the attempt at ${beginning.reminderId} was not recorded`);
    return begun;
  }

  /** Writes down that the receiver has it. In the fleet's scope. */
  accept(fleetId: string, acceptance: Acceptance): Promise<void> {
    return this.accepting.ask(fleetId, acceptance);
  }

  private async takeAll(fleetId: string, ids: string[]): Promise<(Taken | null)[]> {
    const taken = await workForFleet(this.dataSource, fleetId, async (fleet) => {
      const now = this.clock.now();
      const reminders = await takeInHand(this.dataSource.manager, fleetId, ids, now, this.leaseMs);
      return new Map(reminders.map((reminder) => [reminder.reminderId, { fleet, reminder, now }]));
    });
    // Asked for twice at once, it is one's.
    return ids.map((id) => {
      const mine = taken?.get(id) ?? null;
      taken?.delete(id);
      return mine;
    });
  }

  private async tellAll(taken: Taken[]): Promise<Telling[]> {
    const { fleet, now } = taken.at(-1) as Taken;
    const reminders = taken.map(({ reminder }) => reminder);
    return tellingsOfLines(this.dataSource.manager, fleet, reminders, now);
  }

  /** What is missing is not a failure of all: they are on record by then, and must not be asked for again. */
  private async beginAll(fleetId: string, beginnings: Beginning[]): Promise<(Begun | null)[]> {
    const rows = await beginAttempts(this.dataSource.manager, fleetId, beginnings);
    const begun = new Map(rows.map((row) => [row.reminderId, row]));
    return beginnings.map(({ reminderId, body }) => {
      const attempt = begun.get(reminderId);
      return attempt ? { number: attempt.number, body: attempt.keptBody ?? body } : null;
    });
  }

  private async acceptAll(fleetId: string, accepted: Acceptance[]): Promise<void[]> {
    await endAccepted(this.dataSource.manager, fleetId, accepted);
    return accepted.map(() => undefined);
  }
}

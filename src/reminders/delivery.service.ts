import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import type { Fleet } from '../fleets/fleet.entity.js';
import { workForFleet } from '../fleets/fleet-work.js';
import { Clock } from '../platform/clock/clock.js';
import { beginAttempt, type ReminderInHand, takeInHand } from './delivery.queries.js';
import { DigestsService } from './digests.service.js';
import { MessageSender } from './message-sender.js';
import { messageText, tellingOf } from './messages.js';
import { sendHoursOf, withinHours } from './send-hours.js';
import { SettlingService } from './settling.service.js';

/** Sends reminders, one attempt at a time. */
@Injectable()
export class DeliveryService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly sender: MessageSender,
    private readonly digests: DigestsService,
    private readonly settling: SettlingService,
  ) {}

  /** Makes one attempt, if the reminder still waits for one and is still called for. */
  async deliver(fleetId: string, reminderId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, (fleet) => this.attempt(fleet, reminderId));
  }

  private async attempt(fleet: Fleet, reminderId: string): Promise<void> {
    const { manager } = this.dataSource;
    const now = this.clock.now();
    const reminder = await takeInHand(manager, fleet.id, reminderId, now, this.settling.leaseMs);
    if (reminder === null) return;
    // Before the target's standing: what is no longer so is withdrawn, whether or not it could have been sent.
    const telling = reminder.news === 'digest' ? null : await tellingOf(manager, fleet, reminder, now);
    if (telling && 'end' in telling) return this.settling.endUnsent(fleet, reminder, telling.end);
    if (reminder.isTargetOff) return this.settling.endUnsent(fleet, reminder, 'undelivered');
    const allowedAt = withinHours(now, sendHoursOf(reminder), fleet.timeZone);
    if (allowedAt > now) return this.settling.putOff(fleet, reminder, allowedAt, now);
    const made = await this.bodyOf(fleet, reminder, telling, now);
    if (made === null) return this.settling.endUnsent(fleet, reminder, 'withdrawn');
    const { number, body } = await beginAttempt(manager, fleet.id, reminderId, made, now);
    const result = await this.sender.send(`msg_${reminderId}`, body, reminder, now);
    await this.settling.settle(fleet, reminder, number, result);
  }

  /** The message, as it was on the first attempt where there was one; null where a digest has nothing to tell any more. */
  private async bodyOf(
    fleet: Fleet,
    reminder: ReminderInHand,
    telling: { type: string; data: unknown } | null,
    now: Date,
  ): Promise<string | null> {
    if (reminder.body !== null) return reminder.body;
    if (telling === null) return this.digests.gather(fleet, reminder, now);
    return messageText(telling.type, telling.data, now, fleet.units);
  }
}

import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { inFleetWork } from '../../../register/fleets/fleet-work.js';
import type { Fleet } from '../../../entities/fleet.entity.js';
import { DigestsService } from '../digests/digests.service.js';
import { messageText, type Telling, tellingOf } from '../messages/messages.js';
import { recipientOf } from '../messages/recipient.js';
import type { ReminderInHand } from '../messages/reminder-in-hand.queries.js';
import { sendHoursOf, withinHours } from '../news/send-hours.js';
import { MessageSender } from '../senders/message-sender.js';
import { DeliverySteps, type Waiting } from './delivery-steps.js';
import { SettlingService } from './settling.service.js';

/** Sends reminders, one attempt at a time. */
@Injectable()
export class DeliveryService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly steps: DeliverySteps,
    private readonly sender: MessageSender,
    private readonly digests: DigestsService,
    private readonly settling: SettlingService,
  ) {}

  /** Makes one attempt, if the reminder is still waiting for one and still needed. */
  async deliver(fleetId: string, reminderId: string): Promise<void> {
    const waiting = await this.steps.look(fleetId, reminderId);
    if (waiting !== null) await inFleetWork(waiting.fleet, () => this.attempt(waiting));
  }

  private async attempt(waiting: Waiting): Promise<void> {
    const { fleet, reminder, now } = waiting;
    // Check this before the target's state: an obsolete reminder is withdrawn, whether or not it
    // could be sent.
    const telling = reminder.news === 'digest' ? null : await this.tellingOf(waiting);
    if (telling && 'end' in telling) return this.settling.endUnsent(fleet, reminder, telling.end);
    if (reminder.isTargetOff) return this.settling.endUnsent(fleet, reminder, 'undelivered');
    const allowedAt = withinHours(now, sendHoursOf(reminder), fleet.timeZone);
    if (allowedAt > now) return this.settling.putOff(fleet, reminder, allowedAt, now);
    const made = await this.bodyOf(fleet, reminder, telling, now);
    if (made === null) return this.settling.endUnsent(fleet, reminder, 'withdrawn');
    const { reminderId, attempt } = reminder;
    const begun = await this.steps.begin(fleet.id, { reminderId, attempt, body: made, at: now });
    if (begun === null) return;
    const result = await this.sender.send(`msg_${reminderId}`, begun.body, reminder, now);
    await this.settling.settle(fleet, reminder, begun.number, result);
  }

  private tellingOf({ fleet, reminder, telling, now }: Waiting): Promise<Telling> {
    return telling ? Promise.resolve(telling) : tellingOf(this.dataSource.manager, fleet, reminder, now);
  }

  /**
   * Returns the message: the one stored at the first attempt, if there was one. Null when a digest
   * no longer has anything to say.
   */
  private async bodyOf(
    fleet: Fleet,
    reminder: ReminderInHand,
    telling: { type: string; data: unknown } | null,
    now: Date,
  ): Promise<string | null> {
    if (reminder.body !== null) return reminder.body;
    if (telling === null) return this.digests.gather(fleet, reminder, now);
    return messageText(telling.type, telling.data, now, recipientOf(fleet, reminder));
  }
}

import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, IsNull } from 'typeorm';
import { civilDateAt } from '../domain/calendar/zone.js';
import { dueLineView } from '../due-list/due-line-view.js';
import type { Fleet } from '../fleets/fleet.entity.js';
import { workForFleet } from '../fleets/fleet-work.js';
import { Clock } from '../platform/clock/clock.js';
import { Config } from '../platform/config/config.js';
import { present } from '../platform/http/presenter.interceptor.js';
import { WorkQueue } from '../platform/queue/work-queue.js';
import { waitAfter } from './backoff.js';
import { deliveryJob } from './delivery-jobs.js';
import {
  claim,
  endUnsent,
  keepBody,
  lockedStanding,
  putOff,
  recordAttempt,
  reminderInHand,
  type ReminderInHand,
} from './delivery.queries.js';
import { Reminder, ReminderTarget, STAGES } from './reminder.entity.js';
import { withinHours } from './send-hours.js';
import { isAccepted, type SendResult, WebhookSender } from './webhook-sender.js';

/** So many times as long as an answer may take is an attempt's lease: who has not reported by then is taken to be dead. */
const LEASE_IN_TIMEOUTS = 6;
const GONE = 410;

/** Sends reminders, one attempt at a time. */
@Injectable()
export class DeliveryService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly sender: WebhookSender,
    private readonly queue: WorkQueue,
    private readonly config: Config,
  ) {}

  private get leaseMs(): number {
    return LEASE_IN_TIMEOUTS * this.config.sendTimeoutMs;
  }

  /** Makes one attempt, if the reminder still waits for one and is still called for. */
  async deliver(fleetId: string, reminderId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, (fleet) => this.attempt(fleet, reminderId));
  }

  private async attempt(fleet: Fleet, reminderId: string): Promise<void> {
    const { manager } = this.dataSource;
    const now = this.clock.now();
    const attempt = await claim(manager, fleet.id, reminderId, now, this.leaseMs);
    if (attempt === null) return;
    const today = civilDateAt(now.getTime(), fleet.timeZone);
    const reminder = await reminderInHand(manager, fleet.id, reminderId, today);
    if (!reminder) return;
    const end = endingOf(reminder);
    if (end) return endUnsent(manager, fleet.id, reminderId, end);
    const allowedAt = withinHours(now, hoursOf(reminder), fleet.timeZone);
    if (allowedAt > now) {
      await putOff(manager, fleet.id, reminderId, allowedAt);
      await this.queue.add('deliveries', [deliveryJob(fleet.id, reminderId, attempt, allowedAt, now)]);
      return;
    }
    const body =
      reminder.body ?? (await keepBody(manager, fleet.id, reminderId, bodyOf(reminder, fleet, now)));
    const { address, secret } = reminder;
    const result = await this.sender.send({ id: `msg_${reminderId}`, address, secret, body });
    await this.settle(fleet, reminder, attempt, now, result);
  }

  /** Records how the attempt went, and what follows from it. */
  private async settle(
    fleet: Fleet,
    reminder: ReminderInHand,
    attempt: number,
    at: Date,
    result: SendResult,
  ): Promise<void> {
    const { reminderId, targetId } = reminder;
    const key = { fleetId: fleet.id, id: reminderId };
    const now = this.clock.now();
    const retryAt = await this.dataSource.transaction(async (tx) => {
      const standing = await lockedStanding(tx, fleet.id, reminderId);
      await recordAttempt(tx, fleet.id, reminderId, at, result);
      if (isAccepted(result)) {
        // Whatever was decided meanwhile: the receiver has it.
        await tx.update(Reminder, key, { status: 'sent', sentAt: now });
        return null;
      }
      if (result.httpStatus === GONE) {
        await tx.update(
          ReminderTarget,
          { fleetId: fleet.id, id: targetId, disabledAt: IsNull() },
          { disabledAt: now, disabledReason: 'The receiver answered 410 Gone: it wants no more of this.' },
        );
      }
      // Withdrawn, superseded, resent or taken over by another worker in the meantime: that stands.
      if (standing.status !== 'waiting' || standing.attempts !== attempt) return null;
      const waitMs =
        result.httpStatus === GONE ? null : waitAfter(attempt, Math.random(), this.config.sendRetryMs);
      if (waitMs === null) {
        await tx.update(Reminder, key, { status: 'undelivered' });
        return null;
      }
      const nextAttemptAt = withinHours(new Date(now.getTime() + waitMs), hoursOf(reminder), fleet.timeZone);
      await tx.update(Reminder, key, { nextAttemptAt });
      return nextAttemptAt;
    });
    if (retryAt)
      await this.queue.add('deliveries', [deliveryJob(fleet.id, reminderId, attempt + 1, retryAt, now)]);
  }
}

function hoursOf({ sendFrom, sendTo }: ReminderInHand): { from: string; to: string } | null {
  return sendFrom !== null && sendTo !== null ? { from: sendFrom, to: sendTo } : null;
}

/** How a reminder ends that need not be sent any more; null when it must be. */
function endingOf(reminder: ReminderInHand): 'withdrawn' | 'superseded' | 'undelivered' | null {
  const { isOpen, cycle, lineCycle, stage, state, isTargetOff } = reminder;
  if (!isOpen || cycle !== lineCycle) return 'withdrawn';
  if (state !== stage) {
    const stands: readonly string[] = STAGES.slice(STAGES.indexOf(stage));
    return stands.includes(state) ? 'superseded' : 'withdrawn';
  }
  return isTargetOff ? 'undelivered' : null;
}

/** The message, in the fleet's units. */
function bodyOf(reminder: ReminderInHand, fleet: Fleet, now: Date): string {
  const data = present(dueLineView(reminder, now, fleet.timeZone), fleet.units);
  return JSON.stringify({ type: `due-line.${reminder.stage}`, timestamp: now.toISOString(), data });
}

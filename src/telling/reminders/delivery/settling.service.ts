import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager, IsNull } from 'typeorm';
import { GONE } from '../../delivery-troubles/delivery-trouble.js';
import { howItWent } from '../../delivery-troubles/failing-reason.js';
import { markFailing, markWorking } from '../../delivery-troubles/delivery-troubles.queries.js';
import type { Fleet } from '../../../entities/fleet.entity.js';
import { Clock } from '../../../platform/clock/clock.js';
import { whateverRestarts } from '../../../platform/database/away.js';
import { repeating } from '../../../platform/database/transactions.js';
import { WorkQueue } from '../../../platform/queue/work-queue.js';
import { endMembers } from '../digests/digests.queries.js';
import type { ReminderInHand } from '../messages/reminder-in-hand.queries.js';
import { sendHoursOf, withinHours } from '../news/send-hours.js';
import { recordStanding } from '../news/trouble-notices.js';
import type { Queued } from '../news/untold-lines.queries.js';
import { Reminder, type ReminderStatus, ReminderTarget } from '../../../entities/reminder.entity.js';
import type { SendResult } from '../senders/send-result.js';
import { waitAfter } from './backoff.js';
import { deliveryJob, firstDeliveries } from './delivery-jobs.js';
import { DeliveryMetrics } from './delivery-metrics.js';
import { DeliverySteps } from './delivery-steps.js';
import {
  endAccepted,
  endAttempt,
  endUnsent,
  lockedStanding,
  lockTarget,
  putOff,
} from './delivery.queries.js';

/**
 * The outcome of an attempt: a final status, or the time of the next attempt if this worker is to
 * make it.
 */
interface Settled {
  status: ReminderStatus | null;
  retryAt: Date | null;
  /** Notices to other targets about the outcome. */
  notices?: Queued[];
}

/** Records the outcome of a reminder and does what follows from it. */
@Injectable()
export class SettlingService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly queue: WorkQueue,
    private readonly steps: DeliverySteps,
    private readonly metrics: DeliveryMetrics,
  ) {}

  /** Ends a reminder without an attempt. */
  async endUnsent(
    { id: fleetId }: Fleet,
    reminder: ReminderInHand,
    status: 'withdrawn' | 'superseded' | 'undelivered',
  ): Promise<void> {
    const { reminderId, news, kind } = reminder;
    const hasEnded = await this.dataSource.transaction(async (tx) => {
      const ended = await endUnsent(tx, fleetId, reminder, status);
      if (ended && news === 'digest') await endMembers(tx, fleetId, reminderId, status, null);
      return ended;
    });
    if (hasEnded) this.metrics.ended(kind, news, status);
  }

  /** Postpones a reminder until its target may be sent to. */
  async putOff({ id: fleetId }: Fleet, reminder: ReminderInHand, until: Date, now: Date): Promise<void> {
    const { reminderId, attempt } = reminder;
    await putOff(this.dataSource.manager, fleetId, reminder, until);
    await this.queue.add('deliveries', [deliveryJob(fleetId, reminderId, attempt, until, now)]);
  }

  /** Records the outcome of an attempt and does what follows from it. */
  async settle(fleet: Fleet, reminder: ReminderInHand, number: number, result: SendResult): Promise<void> {
    const { reminderId, news, kind, attempt, createdAt } = reminder;
    const now = this.clock.now();
    // Only this process knows the receiver's answer. If it were lost, the same message would be
    // sent again.
    const {
      status,
      retryAt,
      notices = [],
    } = await whateverRestarts(
      () =>
        repeating(() =>
          result.outcome === 'accepted'
            ? this.settleAccepted(fleet.id, reminder, number, result, now)
            : this.settleOther(fleet, reminder, number, result, now),
        ),
      this.steps.leaseMs,
    );
    this.metrics.attempted(kind, result);
    if (status) this.metrics.ended(kind, news, status);
    if (status === 'sent')
      this.metrics.took(kind, withinHours(createdAt, sendHoursOf(reminder), fleet.timeZone), now);
    await this.queue.add('deliveries', [
      ...(retryAt ? [deliveryJob(fleet.id, reminderId, attempt + 1, retryAt, now)] : []),
      ...firstDeliveries(fleet.id, notices, now),
    ]);
  }

  /** Records an accepted attempt, in a batch with others. Nearly every attempt is accepted. */
  private async settleAccepted(
    fleetId: string,
    reminder: ReminderInHand,
    number: number,
    result: SendResult,
    now: Date,
  ): Promise<Settled> {
    const { reminderId, news, targetId, isFailing } = reminder;
    const acceptance = { reminderId, number, result, sentAt: now };
    if (news === 'digest')
      await this.dataSource.transaction(async (tx) => {
        await endAccepted(tx, fleetId, [acceptance]);
        await endMembers(tx, fleetId, reminderId, 'sent', now);
      });
    else await this.steps.accept(fleetId, acceptance);
    if (isFailing) await markWorking(this.dataSource.manager, fleetId, targetId);
    return { status: 'sent', retryAt: null };
  }

  private settleOther(
    fleet: Fleet,
    reminder: ReminderInHand,
    number: number,
    result: SendResult,
    now: Date,
  ): Promise<Settled> {
    const { reminderId, targetId, attempt } = reminder;
    const waitMs = result.outcome === 'failed' ? waitAfter(attempt, Math.random(), this.steps.retryMs) : null;
    return this.dataSource.transaction(async (tx) => {
      // Lock the target before its reminder, in the same order as all code that changes a target.
      if (waitMs === null) await lockTarget(tx, fleet.id, targetId);
      const standing = await lockedStanding(tx, fleet.id, reminderId);
      await endAttempt(tx, fleet.id, reminderId, number, result);
      if (result.outcome === 'gone')
        await tx.update(
          ReminderTarget,
          { fleetId: fleet.id, id: targetId, disabledAt: IsNull() },
          { disabledAt: now, disabledReason: GONE },
        );
      // The reminder was withdrawn, superseded, resent or taken over by another worker meanwhile.
      // Leave it so.
      if (standing.status !== 'waiting' || standing.attempts !== attempt) {
        const notices = result.outcome === 'gone' ? await recordStanding(tx, fleet, now) : [];
        return { status: null, retryAt: null, notices };
      }
      if (waitMs === null) return this.endUndelivered(tx, fleet, reminder, result, now);
      const nextAttemptAt = withinHours(
        new Date(now.getTime() + waitMs),
        sendHoursOf(reminder),
        fleet.timeZone,
      );
      await tx.update(Reminder, { fleetId: fleet.id, id: reminderId }, { nextAttemptAt, attemptedBy: null });
      return { status: null, retryAt: nextAttemptAt };
    });
  }

  private async endUndelivered(
    tx: EntityManager,
    fleet: Fleet,
    { reminderId, targetId, news }: ReminderInHand,
    result: SendResult,
    now: Date,
  ): Promise<Settled> {
    const status = 'undelivered';
    await tx.update(Reminder, { fleetId: fleet.id, id: reminderId }, { status });
    if (news === 'digest') await endMembers(tx, fleet.id, reminderId, status, null);
    if (result.outcome !== 'gone') await markFailing(tx, fleet.id, targetId, howItWent(result), now);
    return { status, retryAt: null, notices: await recordStanding(tx, fleet, now) };
  }
}

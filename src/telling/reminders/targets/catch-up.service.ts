import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { Fleet } from '../../../entities/fleet.entity.js';
import { WorkQueue } from '../../../platform/queue/work-queue.js';
import { firstDeliveries } from '../delivery/delivery-jobs.js';
import { gathers, recordDigest } from '../digests/digests.queries.js';
import { CATCH_UP } from '../news/digest-reasons.js';
import { fleetDayOf } from '../news/fleet-day.js';
import { sendHoursOf, withinHours } from '../news/send-hours.js';
import { hasUntold, type Queued, recordUntold, type SendTime } from '../news/untold-lines.queries.js';
import {
  batchesOfNews,
  hasUntoldNews,
  newsSince,
  OTHER_NEWS,
  recordNews,
  reminderOfNews,
} from '../news/untold-news.queries.js';
import { urgentSendAt } from '../news/urgent.js';
import type { ReminderTarget } from '../../../entities/reminder.entity.js';
import { retimeWaiting } from './reminder-targets.queries.js';

/** What was recorded for a target but not queued yet: a digest, and individual urgent reminders. */
export interface CatchUp {
  fleetId: string;
  recorded: Queued[];
  now: Date;
}

/**
 * Tells a new target, or one that may now hear of more, about everything already open: once, in one
 * message.
 */
@Injectable()
export class CatchUpService {
  constructor(private readonly queue: WorkQueue) {}

  /**
   * Records the digest in the transaction that changes the target, so nothing is sent piece by
   * piece in between.
   */
  async open(tx: EntityManager, target: ReminderTarget, now: Date): Promise<CatchUp | null> {
    const { fleetId, id: targetId } = target;
    const fleet = await tx.findOneByOrFail(Fleet, { id: fleetId });
    const sendAt = withinHours(now, sendHoursOf(target), fleet.timeZone);
    const sendTime = { targetId, sendAt, urgentAt: urgentSendAt(target, sendAt, now) };
    await retimeWaiting(tx, fleetId, sendTime);
    if (target.disabledAt !== null) return null;
    const urgent = await recordUrgent(tx, fleet, sendTime, now);
    const digest = await openDigest(tx, fleet, target, sendAt, now);
    return { fleetId, recorded: [...urgent, ...digest], now };
  }

  /** Call after the change to the target has been committed. */
  async afterCommit(catchUp: CatchUp | null): Promise<void> {
    if (catchUp === null) return;
    const { fleetId, recorded, now } = catchUp;
    await this.queue.add('deliveries', firstDeliveries(fleetId, recorded, now));
  }
}

async function openDigest(
  tx: EntityManager,
  fleet: Fleet,
  { id: targetId, version }: ReminderTarget,
  sendAt: Date,
  now: Date,
): Promise<Queued[]> {
  if (!(await hasSomethingToTell(tx, fleet, targetId, now))) return [];
  if (await gathers(tx, fleet.id, targetId)) return [];
  const id = await recordDigest(tx, fleet.id, targetId, CATCH_UP, `version ${version}`, sendAt, now);
  return id === null ? [] : [{ id, nextAttemptAt: sendAt }];
}

/**
 * Records urgent news as individual reminders when the digest has to wait for sending hours that do
 * not apply to them.
 */
async function recordUrgent(
  tx: EntityManager,
  fleet: Fleet,
  sendTime: SendTime,
  now: Date,
): Promise<Queued[]> {
  const recorded: Queued[] = [];
  if (sendTime.urgentAt >= sendTime.sendAt) return recorded;
  const recording = { sendTimes: [sendTime], digestId: null, now };
  await recordUntold(tx, fleet.id, fleetDayOf(fleet, now), { urgent: 'only' }, recording, (waiting) => {
    recorded.push(...waiting);
  });
  const part = { targetId: sendTime.targetId, since: newsSince(now), urgentOnly: true };
  for await (const found of batchesOfNews(tx, fleet.id, now, 'failed-reading', part)) {
    const reminders = found.map((each) => reminderOfNews(each, null, sendTime.urgentAt));
    recorded.push(...(await recordNews(tx, fleet.id, reminders, now)));
  }
  return recorded;
}

async function hasSomethingToTell(
  tx: EntityManager,
  fleet: Fleet,
  targetId: string,
  now: Date,
): Promise<boolean> {
  if (await hasUntold(tx, fleet.id, fleetDayOf(fleet, now), { targetIds: [targetId] })) return true;
  const part = { targetId, since: newsSince(now) };
  for (const news of OTHER_NEWS) if (await hasUntoldNews(tx, fleet.id, now, news, part)) return true;
  return false;
}

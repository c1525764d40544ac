import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { civilDateAt } from '../domain/calendar/zone.js';
import { Fleet } from '../fleets/fleet.entity.js';
import { WorkQueue } from '../platform/queue/work-queue.js';
import { deliveryJob } from './delivery-jobs.js';
import { CATCH_UP } from './digests.js';
import { gathers, recordDigest } from './digests.queries.js';
import { untoldNews } from './news.queries.js';
import { retimeWaiting } from './reminder-targets.queries.js';
import type { ReminderTarget } from './reminder.entity.js';
import { sendHoursOf, withinHours } from './send-hours.js';
import { hasUntold } from './sweep.queries.js';

const LOOK_BACK_MS = 30 * 86_400_000;

/** A digest that was recorded and is yet to be queued. */
export interface CatchUp {
  fleetId: string;
  id: string;
  sendAt: Date;
  now: Date;
}

/** Sees to it that a target that is new, or may hear of more than before, is told what stands already: once, in one message. */
@Injectable()
export class CatchUpService {
  constructor(private readonly queue: WorkQueue) {}

  /** Records the digest in the transaction that changes the target, so that nothing can go out piece by piece in between. */
  async open(tx: EntityManager, target: ReminderTarget, now: Date): Promise<CatchUp | null> {
    const { fleetId, id: targetId, version } = target;
    const fleet = await tx.findOneByOrFail(Fleet, { id: fleetId });
    const sendAt = withinHours(now, sendHoursOf(target), fleet.timeZone);
    await retimeWaiting(tx, fleetId, targetId, sendAt);
    if (target.disabledAt !== null || !(await hasSomethingToTell(tx, fleet, targetId, now))) return null;
    if (await gathers(tx, fleetId, targetId)) return null;
    const id = await recordDigest(tx, fleetId, targetId, CATCH_UP, `version ${version}`, sendAt, now);
    return id === null ? null : { fleetId, id, sendAt, now };
  }

  /** Call when the target's change has been committed. */
  async afterCommit(catchUp: CatchUp | null): Promise<void> {
    if (catchUp === null) return;
    const { fleetId, id, sendAt, now } = catchUp;
    await this.queue.add('deliveries', [deliveryJob(fleetId, id, 1, sendAt, now)]);
  }
}

async function hasSomethingToTell(
  tx: EntityManager,
  { id: fleetId, timeZone, greatestLeadDays }: Fleet,
  targetId: string,
  now: Date,
): Promise<boolean> {
  const day = { today: civilDateAt(now.getTime(), timeZone), timeZone, greatestLeadDays };
  if (await hasUntold(tx, fleetId, day, { targetIds: [targetId] })) return true;
  const part = { targetId, since: new Date(now.getTime() - LOOK_BACK_MS) };
  for (const news of ['loss-alert', 'failed-reading', 'held-reading'] as const)
    if ((await untoldNews(tx, fleetId, now, news, part, 1)).length > 0) return true;
  return false;
}

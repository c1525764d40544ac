import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import type { DeliveryTrouble, DeliveryTroubleKind } from '../../delivery-troubles/delivery-trouble.js';
import { standingTroubles } from '../../delivery-troubles/delivery-troubles.queries.js';
import { civilDateAt } from '../../../domain/calendar/zone.js';
import type { Fleet } from '../../../entities/fleet.entity.js';
import { sendHoursOf, withinHours } from './send-hours.js';
import { IS_LIVE } from './target-filter.sql.js';
import type { Queued } from './untold-lines.queries.js';
import { recordNews } from './untold-news.queries.js';

interface NoticeTarget {
  id: string;
  sendFrom: string | null;
  sendTo: string | null;
  createdAt: Date;
}

/**
 * Records a notice of each trouble for every live target that wants to hear of trouble. A target
 * gets each trouble only once. It gets none about itself, and none that began before the target was
 * created.
 *
 * @returns the notices that now wait to be sent
 */
export async function recordNotices(
  tx: EntityManager,
  fleet: Fleet,
  troubles: readonly DeliveryTrouble[],
  now: Date,
): Promise<Queued[]> {
  if (troubles.length === 0) return [];
  const targets = await tx.query<NoticeTarget[]>(
    `select t.id, t.send_from as "sendFrom", t.send_to as "sendTo", t.created_at as "createdAt"
     from reminder_targets t where t.fleet_id = $1 and ${IS_LIVE} and 'delivery-trouble' = any(t.hears) order by t.id`,
    [fleet.id],
  );
  const notices = targets.flatMap((target) =>
    troubles
      .filter((trouble) => trouble.target?.id !== target.id && isSince(trouble, target.createdAt))
      .map((trouble) => ({
        ...{ id: uuidv7(), targetId: target.id, news: 'delivery-trouble' as const },
        subjectId: trouble.target?.id ?? fleet.id,
        vehicleId: null,
        cycle: `${trouble.kind} ${occasionOf(trouble, fleet, now)}`,
        digestId: null,
        nextAttemptAt: withinHours(now, sendHoursOf(target), fleet.timeZone),
      })),
  );
  return notices.length === 0 ? [] : recordNews(tx, fleet.id, notices, now);
}

/** Like `recordNotices`, for all current trouble. */
export async function recordStanding(tx: EntityManager, fleet: Fleet, now: Date): Promise<Queued[]> {
  const standing = await standingTroubles(tx, fleet.id, now);
  // Only a worker sends notices, so the absence of workers can only be told afterwards.
  const told = standing.filter(({ kind }) => kind !== 'no-worker');
  return recordNotices(tx, fleet, told, now);
}

/** The kind of trouble a notice is about, from its cycle. */
export function kindOfNotice(cycle: string): DeliveryTroubleKind {
  return cycle.split(' ', 1)[0] as DeliveryTroubleKind;
}

/** When the trouble of a notice began, if its cycle says so. */
export function startOfNotice(cycle: string): Date {
  return new Date(cycle.split(' ')[1] ?? NaN);
}

function isSince({ since }: DeliveryTrouble, createdAt: Date): boolean {
  return since !== null && since >= createdAt;
}

/**
 * What makes a notice unique. Work that is behind has a new oldest piece all the time, so its
 * notice goes out once a day.
 */
function occasionOf({ kind, since }: DeliveryTrouble, { timeZone }: Fleet, now: Date): string {
  return kind === 'sweep-behind' || kind === 'reminders-behind'
    ? civilDateAt(now.getTime(), timeZone)
    : (since?.toISOString() ?? '');
}

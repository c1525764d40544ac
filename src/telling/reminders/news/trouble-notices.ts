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
 * Records a notice, each once, for every live target that hears of trouble, of each trouble that is
 * not its own and began while the target was there.
 *
 * @returns what now waits to be sent
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

/** As `recordNotices`, of all that stands now. */
export async function recordStanding(tx: EntityManager, fleet: Fleet, now: Date): Promise<Queued[]> {
  const standing = await standingTroubles(tx, fleet.id, now);
  // Whoever tells of anything is a worker: of its absence it tells afterwards.
  const told = standing.filter(({ kind }) => kind !== 'no-worker');
  return recordNotices(tx, fleet, told, now);
}

/** What a notice is of, by its cycle. */
export function kindOfNotice(cycle: string): DeliveryTroubleKind {
  return cycle.split(' ', 1)[0] as DeliveryTroubleKind;
}

/** When what the notice is of began, where its cycle says so. */
export function startOfNotice(cycle: string): Date {
  return new Date(cycle.split(' ')[1] ?? NaN);
}

function isSince({ since }: DeliveryTrouble, createdAt: Date): boolean {
  return since !== null && since >= createdAt;
}

/** Work that is behind has another oldest piece every moment: that is told once a day. */
function occasionOf({ kind, since }: DeliveryTrouble, { timeZone }: Fleet, now: Date): string {
  return kind === 'sweep-behind' || kind === 'reminders-behind'
    ? civilDateAt(now.getTime(), timeZone)
    : (since?.toISOString() ?? '');
}

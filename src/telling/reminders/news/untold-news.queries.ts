import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { MS_PER_DAY } from '../../../domain/calendar/zone.js';
import type { News, Urgent } from '../../../entities/reminder.entity.js';
import { CATCH_UP } from './digest-reasons.js';
import { hasOpenDigest, hearsOfVehicle, IS_LIVE } from './target-filter.sql.js';
import type { Queued } from './untold-lines.queries.js';
import { isReleasedWith } from './urgent.js';

/**
 * The kinds of news that a sweep looks for besides due lines. Trouble is left out, because it is
 * told when it occurs.
 */
export const OTHER_NEWS = ['loss-alert', 'failed-reading', 'held-reading'] as const satisfies News[];
export type OtherNews = (typeof OTHER_NEWS)[number];

/** News that a target has not been told. */
export interface UntoldNews {
  news: OtherNews;
  subjectId: string;
  vehicleId: string | null;
  cycle: string;
  targetId: string;
  /** True when it is sent at any hour to targets that want this. */
  isUrgent: boolean;
  sendFrom: string | null;
  sendTo: string | null;
  urgent: Urgent;
}

export interface NewsPart {
  vehicleIds?: string[];
  targetId?: string;
  /** Ignores failed readings that arrived before this instant. */
  since: Date;
  /**
   * Leaves out targets with an open digest that would contain the news. Urgent news never waits for
   * a digest.
   */
  ungatheredOnly?: boolean;
  /** Only urgent news. */
  urgentOnly?: boolean;
}

/** Maximum number of pieces of news that one statement finds. */
const BATCH = 1000;

/**
 * A failed reading that was taken longer ago than this is history, no matter when it was posted.
 */
const NEWS_DAYS = 30;

/** Returns the instant from which failed readings count, `days` days back. */
export function newsSince(now: Date, days = NEWS_DAYS): Date {
  return new Date(now.getTime() - days * MS_PER_DAY);
}

/**
 * SQL that finds each kind of news. `$2` is now, and `$3` is the instant from which failed readings
 * count. `someOf` limits it to some vehicles. An alert whose shelving has ended is news again.
 */
const FOUND: Record<OtherNews, (someOf: (alias: string) => string) => string> = {
  'loss-alert': (
    someOf,
  ) => `select a.fleet_id, a.id, a.vehicle_id, a.members, null::timestamptz as received_at, false as is_urgent,
      coalesce((
        select 'shelved until ' || extract(epoch from max(x.until))::bigint from loss_alert_actions x
        where x.fleet_id = $1 and x.alert_id = a.id and x.action = 'shelve' and x.until <= $2), 'raised') as cycle
    from loss_alerts a
    where a.fleet_id = $1 and a.is_standing and a.status <> 'cleared'
      and (a.status = 'raised' or a.status = 'shelved' and a.shelved_until <= $2)
      ${someOf('a')}`,
  'failed-reading': (
    someOf,
  ) => `select r.fleet_id, r.id, r.vehicle_id, null::jsonb as members, r.received_at, ${isReleasedWith({ fleetId: 'r.fleet_id', vehicleId: 'r.vehicle_id', readingId: 'r.id' })} as is_urgent, '' as cycle
    from readings r
    where r.fleet_id = $1 and r.evaluation ->> 'verdict' = 'fail' and r.voided_at is null and r.received_at >= $3
      and r.taken_at > $2::timestamptz - interval '${NEWS_DAYS} days'
      ${someOf('r')}`,
  'held-reading': (
    someOf,
  ) => `select u.fleet_id, u.id, u.vehicle_id, null::jsonb as members, null::timestamptz as received_at, false as is_urgent, '' as cycle
    from usage_readings u
    where u.fleet_id = $1 and u.status = 'held' ${someOf('u')}`,
};

/**
 * SQL that is true when a target hears of any of the vehicles concerned. A bad part batch concerns
 * several.
 */
const CONCERNED = `exists (
  select from vehicles v
  where v.fleet_id = n.fleet_id
    and v.id = any(array(select jsonb_array_elements_text(n.members)::uuid) || n.vehicle_id)
    and ${hearsOfVehicle('v.fleet_id', 'v.depot_id', 'v.id')})`;

/**
 * Finds news of one kind that is still current, or has arrived lately, and that targets interested
 * in it have not been told.
 */
export function untoldNews(
  manager: EntityManager,
  fleetId: string,
  now: Date,
  news: OtherNews,
  { vehicleIds, targetId, since, ungatheredOnly, urgentOnly }: NewsPart,
  limit: number,
): Promise<UntoldNews[]> {
  const values: unknown[] = [fleetId, now, since, news, limit];
  const narrow = (condition: (place: string) => string, value: unknown): string =>
    value === undefined ? '' : `and ${condition(`$${values.push(value)}`)}`;
  const someOf = (alias: string): string =>
    narrow((place) => `${alias}.vehicle_id = any(${place}::uuid[])`, vehicleIds);
  const gathered = hasOpenDigest(news === 'held-reading' ? '%' : `${CATCH_UP}%`);
  const ungathered = `and (n.is_urgent or not ${gathered}) ${news === 'held-reading' ? `and t.digest = 'each'` : ''}`;
  return manager.query<UntoldNews[]>(
    `select $4 as news, n.id as "subjectId", n.vehicle_id as "vehicleId", n.cycle, n.is_urgent as "isUrgent", t.id as "targetId",
       t.send_from as "sendFrom", t.send_to as "sendTo", t.urgent
     from (${FOUND[news](someOf)}) n
     join reminder_targets t on t.fleet_id = n.fleet_id
     where ${IS_LIVE} ${narrow((place) => `t.id = ${place}`, targetId)} and $4 = any(t.hears)
       ${ungatheredOnly ? ungathered : ''} ${urgentOnly ? 'and n.is_urgent' : ''}
       and (n.received_at is null or n.received_at >= t.created_at)
       and ${CONCERNED}
       and not exists (
         select from reminders r
         where r.fleet_id = n.fleet_id and r.target_id = t.id and r.news = $4 and r.subject_id = n.id and r.cycle = n.cycle
           and r.status <> 'withdrawn')
       -- Columns that a kind of news does not use still need a type.
       and $2::timestamptz is not null and $3::timestamptz is not null
     order by t.id, n.id
     limit $5`,
    values,
  );
}

/** Whether there is any such news. */
export async function hasUntoldNews(
  manager: EntityManager,
  fleetId: string,
  now: Date,
  news: OtherNews,
  part: NewsPart,
): Promise<boolean> {
  return (await untoldNews(manager, fleetId, now, news, part, 1)).length > 0;
}

/**
 * Yields all such news in batches. Record each batch before asking for the next, or the same news
 * is found again.
 */
export async function* batchesOfNews(
  manager: EntityManager,
  fleetId: string,
  now: Date,
  news: OtherNews,
  part: NewsPart,
): AsyncGenerator<UntoldNews[]> {
  for (let full = true; full;) {
    const found = await untoldNews(manager, fleetId, now, news, part, BATCH);
    full = found.length === BATCH;
    yield found;
  }
}

/** Makes the reminder for a piece of news, on its own or in a digest. */
export function reminderOfNews(
  { news, subjectId, vehicleId, cycle, targetId }: UntoldNews,
  digestId: string | null,
  nextAttemptAt: Date,
): NewsReminder {
  return { id: uuidv7(), news, subjectId, vehicleId, cycle, targetId, digestId, nextAttemptAt };
}

/** A reminder of news other than due lines, before it is recorded. */
export interface NewsReminder extends Pick<UntoldNews, 'subjectId' | 'vehicleId' | 'cycle' | 'targetId'> {
  id: string;
  news: OtherNews | 'delivery-trouble' | 'digest';
  digestId: string | null;
  nextAttemptAt: Date;
}

/**
 * Records reminders of news other than due lines, each only once. One that was withdrawn and is
 * needed again is reused under its old id.
 *
 * @returns the new ones, which wait to be sent
 */
export function recordNews(
  tx: EntityManager,
  fleetId: string,
  reminders: NewsReminder[],
  now: Date,
): Promise<Queued[]> {
  return tx.query(
    `insert into reminders (fleet_id, id, target_id, news, subject_id, vehicle_id, cycle, digest_id, status, next_attempt_at, created_at)
     select $1, n.id, n."targetId", n.news, n."subjectId", n."vehicleId", n.cycle, n."digestId", 'waiting', n."nextAttemptAt", $3
     from jsonb_to_recordset($2::jsonb) as n(id uuid, "targetId" uuid, news text, "subjectId" uuid, "vehicleId" uuid, cycle text,
       "digestId" uuid, "nextAttemptAt" timestamptz)
     on conflict (fleet_id, target_id, news, subject_id, cycle) where subject_id is not null do update
       set status = 'waiting', attempts = 0, attempted_by = null, body = null, digest_id = excluded.digest_id, next_attempt_at = excluded.next_attempt_at
       where reminders.status = 'withdrawn' and reminders.news <> 'digest'
     returning id, next_attempt_at as "nextAttemptAt"`,
    [fleetId, JSON.stringify(reminders), now],
  );
}

import type { EntityManager } from 'typeorm';
import type { VoidReason } from '../../platform/words/void-reason.js';

/**
 * Replaces a name that has reached its retention age. Unlike people who are forgotten by name,
 * these can no longer be told apart.
 */
export const FORGOTTEN = 'forgotten';

type Step = (manager: EntityManager, fleetId: string, before: Date, most: number) => Promise<number>;

async function count(manager: EntityManager, statement: string, values: unknown[]): Promise<number> {
  const [row] = await manager.query<{ count: number }[]>(statement, values);
  return row?.count ?? 0;
}

/**
 * Removes the names of those who did jobs before this instant.
 *
 * @param keptSince from then on, a report that repaired a defect keeps its name: it is the
 * certificate
 * @returns how many reports were changed
 */
export const forgetWhoDidJobs =
  (keptSince: Date): Step =>
  (manager, fleetId, before, most) =>
    count(
      manager,
      `with old as (
       select id from job_reports j where fleet_id = $1 and performed_at < $2 and performed_by <> $4
         and (performed_at < $5 or not exists (select from defects t where t.fleet_id = $1 and t.repaired_by_id = j.id))
       order by performed_at, id limit $3),
     changed as (
       update job_reports j set performed_by = $4 from old where j.fleet_id = $1 and j.id = old.id returning 1)
     select count(*)::int as count from changed`,
      [fleetId, before, most, FORGOTTEN, keptSince],
    );

/** Removes the names of those who reported defects, or decided about them, before this instant. */
export const forgetWhoReported: Step = (manager, fleetId, before, most) =>
  count(
    manager,
    `with old as (
       select id from defects where fleet_id = $1 and reported_at < $2 and (reported_by <> $4 or posted_by <> $4)
       order by reported_at, id limit $3),
     decided as (
       select id from defect_decisions where fleet_id = $1 and at < $2 and decided_by <> $4 order by at, id limit $3),
     changed as (
       update defects d set reported_by = case when reported_by is not null then $4 end, posted_by = case when posted_by is not null then $4 end
       from old where d.fleet_id = $1 and d.id = old.id returning 1),
     hidden as (
       update defect_decisions k set decided_by = $4 from decided where k.fleet_id = $1 and k.id = decided.id returning 1)
     select greatest((select count(*) from changed), (select count(*) from hidden))::int as count`,
    [fleetId, before, most, FORGOTTEN],
  );

/**
 * Removes the names of those who signed in and imported files, or undid an import, before this
 * instant.
 */
export const forgetWhoImported: Step = (manager, fleetId, before, most) =>
  count(
    manager,
    `with old as (
       select id, actor_kind = 'sign-in' and imported_at < $2 as is_taken_in, undone_by_kind = 'sign-in' and undone_at < $2 as is_undone
       from imports where fleet_id = $1),
     due as (
       select o.* from old o join imports i on i.fleet_id = $1 and i.id = o.id
       where (o.is_taken_in and i.actor <> $4) or (o.is_undone and i.undone_by <> $4) order by o.id limit $3),
     changed as (
       update imports i set actor = case when due.is_taken_in then $4 else i.actor end,
         undone_by = case when due.is_undone then $4 else i.undone_by end
       from due where i.fleet_id = $1 and i.id = due.id returning 1)
     select count(*)::int as count from changed`,
    [fleetId, before, most, FORGOTTEN],
  );

/**
 * Removes the names of those who signed in and confirmed a ready-made sheet or plan before this
 * instant.
 */
export const forgetWhoConfirmed =
  (table: 'spec_sheets' | 'interval_plans'): Step =>
  (manager, fleetId, before, most) =>
    count(
      manager,
      `with old as (
         select id from ${table}
         where fleet_id = $1 and confirmed_by_kind = 'sign-in' and confirmed_at < $2 and confirmed_by <> $4 limit $3),
       changed as (
         update ${table} t set confirmed_by = $4 from old where t.fleet_id = $1 and t.id = old.id returning 1)
       select count(*)::int as count from changed`,
      [fleetId, before, most, FORGOTTEN],
    );

/**
 * Removes the holders of tokens that ended before this instant, and the addresses of targets that
 * were removed before it; in the audit as well.
 */
export const forgetEnded: Step = (manager, _fleetId, before, most) =>
  count(manager, 'select forget_ended($1, $2) as count', [before, most]);

/**
 * Forgets the people who left before this instant: name, badge, subject, devices and sign-in links,
 * in the audit as well. Their row stays, because records name it by its id.
 */
export const forgetLeftPeople: Step = (manager, _fleetId, before, most) =>
  count(manager, 'select forget_left_people($1, $2) as count', [before, most]);

/** Removes sessions that ended before this instant, with the name of the device. */
export const removeEndedSessions: Step = (manager, fleetId, before, most) =>
  count(
    manager,
    `with old as (
       select id from sessions where fleet_id = $1 and least(expires_at, revoked_at) < $2 limit $3),
     gone as (
       delete from sessions s using old where s.fleet_id = $1 and s.id = old.id returning 1)
     select count(*)::int as count from gone`,
    [fleetId, before, most],
  );

/** Removes sign-in links that were used, or could be used no longer, before this instant. */
export const removeUsedLinks: Step = (manager, fleetId, before, most) =>
  count(
    manager,
    `with old as (
       select id from sign_in_links where fleet_id = $1 and least(expires_at, redeemed_at) < $2 limit $3),
     gone as (
       delete from sign_in_links l using old where l.fleet_id = $1 and l.id = old.id returning 1)
     select count(*)::int as count from gone`,
    [fleetId, before, most],
  );

/** Removes receivers' answers from before this instant, because they may repeat an address. */
export const forgetReceiversAnswers: Step = (manager, fleetId, before, most) =>
  count(
    manager,
    `with old as (
       select reminder_id, number from reminder_attempts
       where fleet_id = $1 and at < $2 and (answer is not null or error is not null) limit $3),
     changed as (
       update reminder_attempts a set answer = null, error = null from old
       where a.fleet_id = $1 and a.reminder_id = old.reminder_id and a.number = old.number returning 1)
     select count(*)::int as count from changed`,
    [fleetId, before, most],
  );

/**
 * Removes names from audit entries that are older than this instant. The service may not change the
 * audit; the database function may.
 */
export const hidePeopleInAudit: Step = (manager, _fleetId, before, most) =>
  count(manager, 'select hide_people_in_audit($1, $2) as count', [before, most]);

/** Deletes audit entries that are older than this instant. */
export const removeAuditEntries: Step = (manager, _fleetId, before, most) =>
  count(manager, 'select remove_audit_entries($1, $2) as count', [before, most]);

/** Voids attachments that arrived before this instant. Their files are removed later. */
export function voidOldAttachments(reason: VoidReason, now: Date): Step {
  return (manager, fleetId, before, most) =>
    count(
      manager,
      `with old as (
         select id from attachments where fleet_id = $1 and voided_at is null and received_at < $2 order by id limit $3),
       changed as (
         update attachments a set voided_at = $4, void_reason = $5::jsonb from old where a.fleet_id = $1 and a.id = old.id returning 1)
       select count(*)::int as count from changed`,
      [fleetId, before, most, now, JSON.stringify(reason)],
    );
}

export type RetentionStep = Step;

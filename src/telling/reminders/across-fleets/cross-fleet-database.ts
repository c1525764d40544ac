import { Injectable, type OnApplicationShutdown, type OnModuleInit } from '@nestjs/common';
import type { DataSource } from 'typeorm';
import type { DueState } from '../../../domain/intervals/types.js';
import { stateOnDay } from '../../../conclusions/due-list/due-state.sql.js';
import { Config } from '../../../platform/config/config.js';
import { buildDataSource, connect } from '../../../platform/database/data-source.js';
import { warnOfMightyLogin } from '../../../platform/database/mighty-login.js';
import { isWorkerGone } from '../../workers/worker-gone.sql.js';

/** A fleet and the last days on which its routines ran; null before the first run. */
export interface FleetRoutine {
  fleetId: string;
  timeZone: string;
  sweptOn: string | null;
  cohortsOn: string | null;
}

export interface WaitingReminder {
  fleetId: string;
  reminderId: string;
  attempts: number;
}

/**
 * A worker's view across fleets: which fleets there are, and what work is waiting for them. Its
 * database role may read that and nothing else. The work itself is done within one fleet.
 */
@Injectable()
export class CrossFleetDatabase implements OnModuleInit, OnApplicationShutdown {
  private readonly dataSource: DataSource;

  constructor(config: Config) {
    this.dataSource = buildDataSource({
      url: config.sweepDatabaseUrl,
      role: 'weephole_sweep',
      poolSize: 2,
      applicationName: 'weephole sweep',
      schema: { entities: [], migrations: [] },
    });
  }

  async onModuleInit(): Promise<void> {
    await connect(this.dataSource);
    await warnOfMightyLogin(this.dataSource);
  }

  /** Runs any other query across fleets. */
  ask<T>(text: string, values: unknown[] = []): Promise<T[]> {
    return this.dataSource.query<T[]>(text, values);
  }

  fleets(): Promise<FleetRoutine[]> {
    return this.dataSource.query<FleetRoutine[]>(
      `select f.id as "fleetId", f.time_zone as "timeZone", s.swept_on as "sweptOn", s.cohorts_on as "cohortsOn"
       from fleets f left join fleet_sweeps s on s.fleet_id = f.id order by f.id`,
    );
  }

  /** Reminders that are due for an attempt, longest waiting first. */
  waitingReminders(now: Date, limit: number): Promise<WaitingReminder[]> {
    return this.dataSource.query<WaitingReminder[]>(
      `select fleet_id as "fleetId", id as "reminderId", attempts from reminders
       where status = 'waiting' and digest_id is null and next_attempt_at <= $1
       order by next_attempt_at, fleet_id, id limit $2`,
      [now, limit],
    );
  }

  /** Reminders whose worker died during an attempt, longest waiting first. */
  cutOffReminders(workerId: string, limit: number): Promise<WaitingReminder[]> {
    return this.dataSource.query<WaitingReminder[]>(
      `select r.fleet_id as "fleetId", r.id as "reminderId", r.attempts from reminders r
       where r.status = 'waiting' and ${isWorkerGone('r.attempted_by', '$1::uuid')} order by r.next_attempt_at, r.fleet_id, r.id limit $2`,
      [workerId, limit],
    );
  }

  /**
   * Fleets with outbox rows, in the order of their ids.
   *
   * @param after the last fleet already handled
   */
  async fleetsWithRequests(after: string | null, limit: number): Promise<string[]> {
    const rows = await this.dataSource.query<{ fleetId: string }[]>(
      `select distinct fleet_id as "fleetId" from sweep_requests where $1::uuid is null or fleet_id > $1 order by 1 limit $2`,
      [after, limit],
    );
    return rows.map(({ fleetId }) => fleetId);
  }

  /**
   * Fleets with visit plans to solve, or with plans that were begun and perhaps abandoned by a dead
   * worker.
   */
  fleetsWithUnsolvedPlans(limit: number): Promise<{ fleetId: string }[]> {
    return this.dataSource.query(
      `select fleet_id as "fleetId" from visit_plans where state in ('waiting', 'solving')
       group by fleet_id order by min(id::text) limit $1`,
      [limit],
    );
  }

  /**
   * Telematics sources whose time has come, longest due first, each with its place among those of
   * its fleet. Those that a worker is polling are left out.
   */
  dueSources(now: Date, limit: number): Promise<{ fleetId: string; sourceId: string; turn: number }[]> {
    return this.dataSource.query(
      `select fleet_id as "fleetId", id as "sourceId", row_number() over (partition by fleet_id order by next_poll_at, id)::int as turn
       from (select fleet_id, id, next_poll_at from telematics_sources
             where kind <> 'push' and paused_at is null and next_poll_at <= $1 and (polled_until is null or polled_until <= $1)
             order by next_poll_at, fleet_id, id limit $2) due
       order by turn, next_poll_at, fleet_id, id`,
      [now, limit],
    );
  }

  /**
   * Returns when the oldest unsent reminder was recorded. Leaves out reminders that are waiting for
   * their sending hours.
   */
  async oldestUnsent(now: Date): Promise<Date | null> {
    const [row] = await this.dataSource.query<{ oldest: Date | null }[]>(
      `select min(created_at) as oldest from reminders
       where status = 'waiting' and digest_id is null and (next_attempt_at <= $1 or attempts > 0)`,
      [now],
    );
    return row?.oldest ?? null;
  }

  /**
   * Counts the open lines of all fleets in each state today, each fleet by its own calendar. Reads
   * every line.
   */
  dueLineTotals(now: Date): Promise<{ state: DueState; lines: number }[]> {
    const today = '($1::timestamptz at time zone f.time_zone)::date';
    return this.dataSource.query<{ state: DueState; lines: number }[]>(
      `select ${stateOnDay(today)} as state, count(*) as lines
       from due_lines l join fleets f on f.id = l.fleet_id where l.is_open group by 1`,
      [now],
    );
  }

  async onApplicationShutdown(): Promise<void> {
    if (this.dataSource.isInitialized) await this.dataSource.destroy();
  }
}

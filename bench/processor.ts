import { readFileSync } from 'node:fs';
import type pg from 'pg';
import type { Service } from './stage.js';

/** Processor time that was spent, in seconds; what else the machine does is not in it. */
export interface Spent {
  service: number;
  /** Null where the system does not tell. */
  postgres: number | null;
}

/** The kernel counts in hundredths of a second. */
const TICKS_PER_SECOND = 100;
/** Fields 14 and 15 of /proc/PID/stat, counted from after the name in brackets. */
const [USER, SYSTEM] = [11, 12];

/** What the service and its connections to the database have spent so far. */
export async function spentSoFar(service: Service, admin: pg.Client): Promise<Spent> {
  const { rows } = await admin.query<{ pid: number }>(
    'select pid from pg_stat_activity where datname = current_database() and pid <> pg_backend_pid()',
  );
  const seconds = rows.map(({ pid }) => secondsOf(pid));
  return {
    service: await service.process.ask<number>('processorSeconds'),
    postgres: seconds.includes(null) ? null : seconds.reduce<number>((sum, one) => sum + (one ?? 0), 0),
  };
}

function secondsOf(pid: number): number | null {
  try {
    const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ').at(-1)?.split(' ') ?? [];
    return (Number(fields[USER]) + Number(fields[SYSTEM])) / TICKS_PER_SECOND;
  } catch {
    return null;
  }
}

/** In words, for each of so many. */
export function spentEach(from: Spent, to: Spent, count: number): string {
  const each = (seconds: number): string => `${Math.round((seconds / count) * 1e6)} µs`;
  const postgres =
    from.postgres === null || to.postgres === null
      ? ''
      : `, ${each(to.postgres - from.postgres)} in PostgreSQL`;
  return `${each(to.service - from.service)} of processor time each in the service${postgres}`;
}

import { readFileSync } from 'node:fs';
import type pg from 'pg';
import type { Service } from './stage.js';

/** CPU time used, in seconds, excluding everything else on the machine. */
export interface Spent {
  service: number;
  /** Null when the system does not say. */
  postgres: number | null;
}

/** The kernel counts in hundredths of a second. */
const TICKS_PER_SECOND = 100;
/**
 * Fields of /proc/PID/stat, counted from after the name in brackets: the parent, the CPU time used,
 * and that of children that have ended.
 */
const [PARENT, USER, SYSTEM, ENDED_USER, ENDED_SYSTEM] = [1, 11, 12, 13, 14] as const;

/** CPU time used so far by the service and by all of PostgreSQL except the connection that asks. */
export async function spentSoFar(service: Service, admin: pg.Client): Promise<Spent> {
  const { rows } = await admin.query<{ pid: number; own: number }>(
    'select pid, pg_backend_pid() as own from pg_stat_activity where pid <> pg_backend_pid()',
  );
  return {
    service: await service.process.ask<number>('processorSeconds'),
    postgres: postgresSeconds(
      rows.map(({ pid }) => pid),
      rows[0]?.own ?? 0,
    ),
  };
}

function postgresSeconds(pids: number[], own: number): number | null {
  const parent = statOf(statOf(own)?.[PARENT] ?? 0);
  if (parent === null) return null;
  const ticks = pids.map((pid) => statOf(pid)).map((stat) => (stat ? stat[USER]! + stat[SYSTEM]! : 0));
  return (
    ticks.reduce((sum, one) => sum + one, parent[ENDED_USER]! + parent[ENDED_SYSTEM]!) / TICKS_PER_SECOND
  );
}

function statOf(pid: number): number[] | null {
  try {
    return readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ').at(-1)?.split(' ').map(Number) ?? null;
  } catch {
    return null;
  }
}

/** Formats the CPU time per operation. */
export function spentEach(from: Spent, to: Spent, count: number): string {
  const each = (seconds: number): string => `${Math.round((seconds / count) * 1e6)} µs`;
  const postgres =
    from.postgres === null || to.postgres === null
      ? ''
      : `, ${each(to.postgres - from.postgres)} in PostgreSQL`;
  return `${each(to.service - from.service)} of processor time each in the service${postgres}`;
}

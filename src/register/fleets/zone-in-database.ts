import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** Queries the database. Returns each row as an object. */
type Query = (sql: string, parameters: unknown[]) => Promise<{ name: string }[]>;

/**
 * Why dates cannot be computed in a time zone. Null when they can. SQL statements compute dates as
 * well, some of them for all fleets at once, so PostgreSQL must know the zone. Node knows names
 * that PostgreSQL has dropped, such as US/Pacific-New, and either may learn of a new name before
 * the other.
 */
export async function zoneFaultInDatabase(query: Query, timeZone: string): Promise<Message | null> {
  const [known] = await query(
    'select name from pg_timezone_names where lower(name) = lower($1) order by name = $1 desc limit 1',
    [timeZone],
  );
  if (!known) return message('time-zone-not-in-database', { zone: timeZone });
  return known.name === timeZone
    ? null
    : message('time-zone-written-otherwise', { zone: timeZone, written: known.name });
}

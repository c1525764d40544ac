import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** Asks the database; each row as an object. */
type Query = (sql: string, parameters: unknown[]) => Promise<{ name: string }[]>;

/**
 * Why days cannot be told in a time zone; null where they can. Node knows names that PostgreSQL
 * has dropped, such as US/Pacific-New, and either may have learned of a new one before the other.
 * Statements tell days as well, those about all fleets at once among them.
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

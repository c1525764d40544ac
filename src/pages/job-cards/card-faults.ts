import { EPISODE_EXTENT } from '../../conclusions/load/fault-episode.sql.js';
import { faultCodeIn } from '../../domain/faults/fault-code.js';
import { circuitOf } from '../../domain/faults/meanings.js';
import { toldMeaning } from '../../domain/faults/told-meaning.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import type { CardFault } from './card/card-records.dto.js';

/** How long a fault that went away is still told; common practice, no source. */
const RECENT_DAYS = 30;
const MOST_FAULTS = 12;

/** A fault as it comes out of JSON. The instants are epoch milliseconds. */
export interface CardFaultRow {
  id: string;
  code: string;
  state: 'active' | 'gone';
  firstAt: number;
  lastAt: number;
  goneAt: number | null;
  occurrences: number | null;
}

const msOf = (column: string): string => `(extract(epoch from ${column}) * 1000)::float8`;

/**
 * SQL for the faults of the cooling system and the belt drive that the vehicle `v` reports, or that
 * went away a short while ago, as JSON: those that last first, then the latest.
 *
 * @param codes the known codes. @param now an instant; both as SQL
 */
export const RECENT_FAULTS = (codes: string, now: string): string =>
  `select coalesce(json_agg(to_json(o)), '[]') from (
         select f.id, f.code, f.listed_as as state, ${msOf('f.first_at')} as "firstAt", ${msOf('e.last_at')} as "lastAt",
           ${msOf('f.gone_at')} as "goneAt", e.occurrences
         from (
           select * from faults f where f.fleet_id = v.fleet_id and f.vehicle_id = v.id and f.code = any (${codes}::text[])
             and (f.listed_as = 'active' or (f.listed_as = 'gone' and f.gone_at >= ${now}::timestamptz - make_interval(days => ${RECENT_DAYS})))
           order by f.listed_as, f.first_at desc, f.id desc limit ${MOST_FAULTS}) f ${EPISODE_EXTENT}
         order by f.listed_as, f.first_at desc, f.id desc) o`;

export function cardFault({
  id,
  code,
  state,
  firstAt,
  lastAt,
  goneAt,
  occurrences,
}: CardFaultRow): CardFault {
  const read = faultCodeIn(code);
  const meaning = toldMeaning(read);
  const text = (at: number): string => new Date(at).toISOString();
  return {
    ...{ id, code, circuit: circuitOf(read), meaning: meaning && shownMessage(meaning), state },
    ...{ firstSeenAt: text(firstAt), lastSeenAt: text(lastAt) },
    ...{ goneAt: goneAt === null ? null : text(goneAt), occurrences },
  };
}

import type { EntityManager } from 'typeorm';
import { EPISODE_EXTENT } from '../../conclusions/load/fault-episode.sql.js';
import { faultCodeIn } from '../../domain/faults/fault-code.js';
import { circuitOf, KNOWN_CODES } from '../../domain/faults/meanings.js';
import { toldMeaning } from '../../domain/faults/told-meaning.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import type { CardFault } from './card/card-records.dto.js';

/** How long a fault that went away is still told; common practice, no source. */
const RECENT_DAYS = 30;
const MOST_FAULTS = 12;

interface FaultRow {
  id: string;
  code: string;
  state: 'active' | 'gone';
  firstAt: Date;
  lastAt: Date;
  goneAt: Date | null;
  occurrences: number | null;
}

/**
 * The faults of the cooling system and the belt drive that the vehicle reports, or that went away a
 * short while ago: those that last first, then the latest.
 */
export async function cardFaults(
  manager: EntityManager,
  fleetId: string,
  vehicleId: string,
  now: Date,
): Promise<CardFault[]> {
  const rows = await manager.query<FaultRow[]>(
    `select f.id, f.code, f.listed_as as state, f.first_at as "firstAt", e.last_at as "lastAt", f.gone_at as "goneAt", e.occurrences
     from (
       select * from faults f where f.fleet_id = $1 and f.vehicle_id = $2 and f.code = any ($3::text[])
         and (f.listed_as = 'active' or (f.listed_as = 'gone' and f.gone_at >= $4::timestamptz - make_interval(days => ${RECENT_DAYS})))
       order by f.listed_as, f.first_at desc, f.id desc limit ${MOST_FAULTS}) f ${EPISODE_EXTENT}
     order by f.listed_as, f.first_at desc, f.id desc`,
    [fleetId, vehicleId, KNOWN_CODES, now],
  );
  return rows.map(({ id, code, state, firstAt, lastAt, goneAt, occurrences }) => {
    const read = faultCodeIn(code);
    const meaning = toldMeaning(read);
    return {
      ...{ id, code, circuit: circuitOf(read), meaning: meaning && shownMessage(meaning), state },
      ...{ firstSeenAt: firstAt.toISOString(), lastSeenAt: lastAt.toISOString() },
      ...{ goneAt: goneAt?.toISOString() ?? null, occurrences },
    };
  });
}

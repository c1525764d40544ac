import type { Actor, FleetScope } from '../scope/fleet-scope.js';
import type { TokenHolder } from './token-holders.js';

/** The scope of a request from the holder of a token or a session. */
export function scopeOfHolder(holder: TokenHolder, requestId: string): FleetScope {
  return {
    fleetId: holder.fleet_id,
    tokenId: holder.token_id,
    sessionId: holder.session_id,
    role: holder.role,
    person: personOf(holder),
    depotIds: holder.depot_ids,
    actor: actorOf(holder, requestId),
    timeZone: holder.time_zone,
    units: holder.units,
    language: holder.language,
    changeNumber: holder.change_number,
  };
}

function personOf({ person_id: id, person_name: name }: TokenHolder): FleetScope['person'] {
  return id === null || name === null ? null : { id, name };
}

/** Whoever signed in by a link acts as a person. Whoever signed in with a token acts as its holder. */
function actorOf(
  { token_id: id, person_id: person, session_id: session, role }: TokenHolder,
  requestId: string,
): Actor {
  return { kind: session !== null && id === person ? 'person' : 'token', id, role, requestId };
}

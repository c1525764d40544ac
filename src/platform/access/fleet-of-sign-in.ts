import type { DataSource } from 'typeorm';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { Problem } from '../problems/problem.js';
import { type FleetScope, inFleet } from '../scope/fleet-scope.js';
import type { Language } from '../words/languages.js';
import { message } from './messages.js';
import type { SignIn } from './oidc.js';

interface FleetRow {
  time_zone: string;
  units: UnitSystem;
  language: Language;
  change_number: number;
}

/**
 * The scope of whoever signed in at the OpenID Connect provider.
 *
 * @throws Problem 403 when the fleet that the provider names does not exist
 */
export async function scopeOfSignIn(
  dataSource: DataSource,
  { subject, fleetId, role, depotIds }: SignIn,
  requestId: string,
): Promise<FleetScope> {
  const bare: FleetScope = { fleetId, tokenId: null, role, timeZone: 'UTC', units: 'si' };
  const [fleet] = await inFleet(bare, () =>
    dataSource.query<FleetRow[]>(
      'select time_zone, units, language, change_number_of(id)::float8 as change_number from fleets where id = $1',
      [fleetId],
    ),
  );
  if (!fleet) throw new Problem(403, 'not-assigned', message('sign-in-fleet-missing'));
  const actor = { kind: 'sign-in', id: subject, role, requestId } as const;
  const { time_zone: timeZone, units, language, change_number: changeNumber } = fleet;
  return { ...bare, depotIds, actor, timeZone, units, language, changeNumber };
}

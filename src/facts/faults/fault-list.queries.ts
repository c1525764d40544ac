import type { SelectQueryBuilder } from 'typeorm';
import { KNOWN_CODES } from '../../domain/faults/meanings.js';
import type { Fault, FaultListedAs } from '../../entities/fault.entity.js';
import type { FaultQuery } from './fault.dto.js';

/** What a list of faults is narrowed by; a cursor is bound to it. */
export type FaultFilters = Omit<FaultQuery, 'limit' | 'cursor'>;

const LISTED_AS: Record<FaultListedAs, string> = {
  active: `f.listed_as = 'active'`,
  gone: `f.listed_as = 'gone'`,
  voided: `f.listed_as = 'voided'`,
};

/** Adds the filters of the list to a query for faults `f`: one row for each episode. */
export function narrowFaults(builder: SelectQueryBuilder<Fault>, filters: FaultFilters): void {
  const { vehicleId, depotId, state, meaning, code } = filters;
  if (vehicleId) builder.andWhere('f.vehicle_id = :vehicleId', { vehicleId });
  if (depotId)
    builder.andWhere(
      'exists (select from vehicles v where v.fleet_id = f.fleet_id and v.id = f.vehicle_id and v.depot_id = :depotId)',
      { depotId },
    );
  if (code) builder.andWhere('f.code = :code', { code });
  if (meaning)
    builder.andWhere(`(f.code = any (:known)) = :isKnown`, {
      known: KNOWN_CODES,
      isKnown: meaning === 'known',
    });
  // As literals, so that they match the partial indexes.
  builder.andWhere(state === undefined ? `f.listed_as <> 'voided'` : LISTED_AS[state]);
}

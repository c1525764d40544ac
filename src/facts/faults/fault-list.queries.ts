import type { SelectQueryBuilder } from 'typeorm';
import { KNOWN_CODES } from '../../domain/faults/meanings.js';
import { TOGETHER_MS } from '../../domain/faults/spans.js';
import type { Fault } from '../../entities/fault.entity.js';
import type { FaultQuery } from './fault.dto.js';

const TOGETHER = `interval '${TOGETHER_MS / 1000} seconds'`;

/** SQL for a row that stands, of the same vehicle and code as another. */
const alike = (row: string, other: string): string =>
  `${row}.fleet_id = ${other}.fleet_id and ${row}.vehicle_id = ${other}.vehicle_id and ${row}.code = ${other}.code and ${row}.voided_at is null`;

/**
 * SQL that is true for the first row of an episode: each earlier row lies further away, and was
 * followed by a sighting as gone. `src/domain/faults/episodes.ts` says the same.
 */
const isHead = (row: string): string => `not exists (
  select from faults p_${row} where ${alike(`p_${row}`, row)} and p_${row}.is_active
    and (p_${row}.first_at, p_${row}.id) < (${row}.first_at, ${row}.id)
    and (p_${row}.last_at >= ${row}.first_at - ${TOGETHER} or not exists (
      select from faults g_${row} where ${alike(`g_${row}`, row)} and not g_${row}.is_active
        and g_${row}.last_at > p_${row}.last_at and g_${row}.first_at < ${row}.first_at)))`;

/**
 * SQL that is true for the head of an episode that lasts: it is the last one, and nothing says
 * gone.
 */
const LASTS = `not exists (
    select from faults h where ${alike('h', 'f')} and h.is_active and (h.first_at, h.id) > (f.first_at, f.id) and ${isHead('h')})
  and not exists (
    select from faults e where ${alike('e', 'f')} and not e.is_active and e.last_at > (
      select max(a.last_at) from faults a where ${alike('a', 'f')} and a.is_active))`;

/** What a list of faults is narrowed by; a cursor is bound to it. */
export type FaultFilters = Omit<FaultQuery, 'limit' | 'cursor'>;

/** Adds the filters of the list to a query for faults `f`: one row for each episode. */
export function narrowFaults(builder: SelectQueryBuilder<Fault>, filters: FaultFilters): void {
  const { vehicleId, depotId, state, meaning, code } = filters;
  builder.andWhere('f.is_active');
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
  if (state === 'voided') builder.andWhere('f.voided_at is not null');
  else builder.andWhere(`f.voided_at is null and ${isHead('f')}`);
  if (state === 'active') builder.andWhere(`(${LASTS})`);
  if (state === 'gone') builder.andWhere(`not (${LASTS})`);
}

import type { Statement } from './statement.js';

/**
 * Raises the fleet's change number. ETags of lists contain it, so every change to a list must raise
 * it.
 */
export function raisingChangeNumber(fleetId: string): Statement {
  return {
    name: 'raise_change_number',
    text: 'insert into fleet_changes (fleet_id, number) values ($1, 1) on conflict (fleet_id) do update set number = fleet_changes.number + 1',
    values: [fleetId],
  };
}

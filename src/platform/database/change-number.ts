import type { Statement } from './statement.js';

/** Lists are tagged by the fleet's change number, so whatever changes one raises it. */
export function raisingChangeNumber(fleetId: string): Statement {
  return {
    name: 'raise_change_number',
    text: 'insert into fleet_changes (fleet_id, number) values ($1, 1) on conflict (fleet_id) do update set number = fleet_changes.number + 1',
    values: [fleetId],
  };
}

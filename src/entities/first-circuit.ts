import { VirtualColumn } from 'typeorm';

/**
 * The name of the first circuit of a row's vehicle, where that has more than one, else null. It is
 * read with the row.
 */
export const FirstCircuit = (): PropertyDecorator =>
  VirtualColumn({
    type: 'text',
    query: (row) =>
      `select s.circuit from vehicles v join spec_sheets s on s.fleet_id = v.fleet_id and s.id = v.spec_sheet_id
        where v.fleet_id = ${row}.fleet_id and v.id = ${row}.vehicle_id and s.other_circuits <> '[]'`,
  });

import { quoted, type Read } from '../../platform/csv/cells.js';
import type { Column, ColumnSet } from '../../platform/csv/columns.js';
import type { CsvRow, CsvTable } from '../../platform/csv/csv-rows.js';
import type { RowFault } from '../../platform/csv/import-report.js';
import { RowReader } from '../../platform/csv/row-reader.js';
import { VehicleInput } from './vehicle.dto.js';
import { message } from './messages.js';

/** The columns of a vehicle in a spreadsheet, in the order in which they are exported. */
export const VEHICLE_COLUMNS: readonly Column[] = [
  { name: 'unitNumber', aliases: ['unit'] },
  { name: 'depot', aliases: ['depotId', 'depotName'] },
  { name: 'specSheet', aliases: ['specSheetId', 'specSheetName'] },
  { name: 'intervalPlan', aliases: ['intervalPlanId', 'intervalPlanName', 'plan'] },
  { name: 'duty' },
  { name: 'status' },
  { name: 'vin' },
  {
    name: 'serialNumber',
    aliases: ['serial', 'serialNo', 'pin', 'productIdentificationNumber'],
  },
  { name: 'make' },
  { name: 'model' },
  { name: 'modelYear', aliases: ['year'], holds: 'number' },
  { name: 'mountedOn' },
  { name: 'inUseMonths' },
  { name: 'inServiceOn', aliases: ['inServiceDate'], holds: 'date' },
  { name: 'inServiceOdometer', measure: 'distance' },
  { name: 'inServiceEngineHours', measure: 'engine-hours' },
  { name: 'expectedDailyDistance', measure: 'distance' },
  { name: 'expectedDailyEngineHours', measure: 'engine-hours' },
  { name: 'designLowTemperature', measure: 'temperature' },
  { name: 'id', leftOut: message('column-id-given-here') },
  { name: 'version', leftOut: message('column-version-counted-here') },
];

export const VEHICLE_IMPORT: ColumnSet = { columns: VEHICLE_COLUMNS, required: [['unitNumber']] };

const QUANTITIES = [
  'inServiceOdometer',
  'inServiceEngineHours',
  'expectedDailyDistance',
  'expectedDailyEngineHours',
  'designLowTemperature',
] as const;

/**
 * The content of a row. The depot, sheet, plan and carrier that it names are still to be looked up.
 */
export interface VehicleRow {
  line: number;
  input: VehicleInput;
  depot: string | null;
  specSheet: string | null;
  intervalPlan: string | null;
  mountedOn: string | null;
  faults: RowFault[];
}

/** The API fields whose column has another name. */
const COLUMN_OF: Readonly<Record<string, string>> = {
  depotId: 'depot',
  specSheetId: 'specSheet',
  intervalPlanId: 'intervalPlan',
};

/** The column to which a fault of an API field belongs. */
export function columnAt(pointer = ''): string {
  const field = pointer.split('/')[1] ?? '';
  return COLUMN_OF[field] ?? field;
}

/** Reads a row into the form in which a vehicle is posted. */
export function readVehicleRow(row: CsvRow, table: CsvTable): VehicleRow {
  const reader = new RowReader(row, table);
  const input = new VehicleInput();
  input.unitNumber = reader.trimmed('unitNumber') ?? '';
  Object.assign(input, {
    duty: reader.word('duty'),
    status: reader.word('status'),
    vin: reader.trimmed('vin'),
    serialNumber: reader.trimmed('serialNumber'),
    make: row.cells.get('make') ?? null,
    model: row.cells.get('model') ?? null,
    modelYear: reader.number('modelYear'),
    inUseMonths: reader.read('inUseMonths', monthsIn),
    inServiceOn: reader.date('inServiceOn'),
  });
  for (const column of QUANTITIES) input[column] = reader.quantity(column);
  return {
    line: row.line,
    input,
    depot: reader.trimmed('depot'),
    specSheet: reader.trimmed('specSheet'),
    intervalPlan: reader.trimmed('intervalPlan'),
    mountedOn: reader.trimmed('mountedOn'),
    faults: reader.faults,
  };
}

/** Reads the numbers of months: `4 5 6`, separated by spaces, commas, semicolons or bars. */
function monthsIn(cell: string): Read<number[]> {
  const months = cell.trim().split(/[\s,;|]+/);
  return months.every((month) => /^\d{1,3}$/.test(month))
    ? { value: months.map(Number) }
    : { fault: message('vehicle-months-unreadable', { given: quoted(cell.trim()) }) };
}

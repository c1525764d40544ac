import type { Quantity } from '../domain/quantities/units.js';
import { type Read, wordIn } from '../platform/csv/cells.js';
import type { Column, ColumnSet } from '../platform/csv/columns.js';
import type { CsvRow, CsvTable } from '../platform/csv/csv-rows.js';
import { dateIn } from '../platform/csv/date-cells.js';
import type { RowFault } from '../platform/csv/import-report.js';
import { numberIn } from '../platform/csv/number-cells.js';
import { VehicleInput } from './vehicle.dto.js';

/** The columns of a vehicle in a spreadsheet, in the order in which they are written. */
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
  { name: 'id', leftOut: 'ids are given here' },
  { name: 'version', leftOut: 'versions are counted here' },
];

export const VEHICLE_IMPORT: ColumnSet = { columns: VEHICLE_COLUMNS, required: [['unitNumber']] };

const QUANTITIES = [
  'inServiceOdometer',
  'inServiceEngineHours',
  'expectedDailyDistance',
  'expectedDailyEngineHours',
  'designLowTemperature',
] as const;

/** What a row says, but for what it names: depot, sheet, plan and carrier are looked up. */
export interface VehicleRow {
  line: number;
  input: VehicleInput;
  depot: string | null;
  specSheet: string | null;
  intervalPlan: string | null;
  mountedOn: string | null;
  faults: RowFault[];
}

/** The field of the API whose fault is the fault of a column. */
const COLUMN_OF: Readonly<Record<string, string>> = {
  depotId: 'depot',
  specSheetId: 'specSheet',
  intervalPlanId: 'intervalPlan',
};

/** The column in which a fault of the API's field stands. */
export function columnAt(pointer = ''): string {
  const field = pointer.split('/')[1] ?? '';
  return COLUMN_OF[field] ?? field;
}

/** Reads a row as a vehicle could have been posted. */
export function readVehicleRow(
  { line, cells }: CsvRow,
  { conventions: { decimal, dateOrder }, columns }: CsvTable,
): VehicleRow {
  const faults: RowFault[] = [];
  const trimmed = (column: string): string | null => cells.get(column)?.trim() ?? null;
  function read<T>(column: string, reader: (cell: string) => Read<T>): T | null {
    const cell = cells.get(column);
    if (cell === undefined) return null;
    const result = reader(cell);
    if ('value' in result) return result.value;
    faults.push({ column, value: cell, detail: result.fault });
    return null;
  }
  const number = (cell: string): Read<number> => numberIn(cell, decimal);
  const input = new VehicleInput();
  input.unitNumber = trimmed('unitNumber') ?? '';
  const duty = trimmed('duty');
  const status = trimmed('status');
  Object.assign(input, {
    duty: duty === null ? null : wordIn(duty),
    status: status === null ? null : wordIn(status),
    vin: trimmed('vin'),
    serialNumber: trimmed('serialNumber'),
    make: cells.get('make') ?? null,
    model: cells.get('model') ?? null,
    modelYear: read('modelYear', number),
    inUseMonths: read('inUseMonths', (cell) => monthsIn(cell)),
    inServiceOn: read('inServiceOn', (cell) => dateIn(cell, dateOrder)),
  });
  for (const column of QUANTITIES) {
    const value = read(column, number);
    const unit = columns.get(column)?.unit;
    input[column] = value === null || !unit ? null : ({ value, unit } satisfies Quantity);
  }
  return {
    line,
    input,
    depot: trimmed('depot'),
    specSheet: trimmed('specSheet'),
    intervalPlan: trimmed('intervalPlan'),
    mountedOn: trimmed('mountedOn'),
    faults,
  };
}

/** Months by their numbers: `4 5 6`, with whatever stands between them. */
function monthsIn(cell: string): Read<number[]> {
  const months = cell.trim().split(/[\s,;|]+/);
  return months.every((month) => /^\d{1,3}$/.test(month))
    ? { value: months.map(Number) }
    : { fault: `is "${cell.trim().slice(0, 57)}"; the numbers of months are needed, such as 4 5 6` };
}

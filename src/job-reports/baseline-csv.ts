import { ACTIONS, COMPONENTS } from '../domain/intervals/types.js';
import { type Read, wordIn } from '../platform/csv/cells.js';
import type { ColumnSet } from '../platform/csv/columns.js';
import type { CsvRow, CsvTable } from '../platform/csv/csv-rows.js';
import { dateIn } from '../platform/csv/date-cells.js';
import type { RowFault } from '../platform/csv/import-report.js';
import { nearest } from '../platform/csv/nearest.js';
import { numberIn } from '../platform/csv/number-cells.js';
import { canonicalOf } from '../domain/quantities/given.js';
import { quantityFault } from '../platform/fields/fields.js';
import { faultsIn } from '../platform/input/validation.pipe.js';
import { JobLineInput } from './job-report.dto.js';

export const BASELINE_IMPORT: ColumnSet = {
  columns: [
    { name: 'unit', aliases: ['unitNumber'] },
    { name: 'component' },
    { name: 'item' },
    { name: 'action' },
    { name: 'date', aliases: ['performedOn', 'doneOn'], holds: 'date' },
    { name: 'odometer', measure: 'distance' },
    { name: 'hours', aliases: ['engineHours'], measure: 'engine-hours' },
  ],
  required: [['unit'], ['component'], ['action'], ['date']],
};

/** Work done before records began, as a row tells it. */
export interface BaselineRow {
  line: number;
  unit: string;
  work: JobLineInput;
  /** Civil date; empty where it cannot be read. */
  on: string;
  odometerKm: number | null;
  odometerUnit: string | null;
  engineHours: number | null;
  /** What stands in the cells of the counters. */
  cells: { odometer?: string; hours?: string };
  faults: RowFault[];
}

const MEASURED = [
  ['odometer', 'distance'],
  ['hours', 'engine-hours'],
] as const;

const CHOICES: Readonly<Record<string, readonly string[]>> = { component: COMPONENTS, action: ACTIONS };

/** Reads a row by the rules of a job line. */
export function readBaselineRow(
  { line, cells }: CsvRow,
  { conventions: { decimal, dateOrder }, columns }: CsvTable,
): BaselineRow {
  const faults: RowFault[] = [];
  const add = (column: string, detail: string) => {
    const value = cells.get(column);
    faults.push({ column, ...(value === undefined ? {} : { value }), detail });
  };
  function read<T>(column: string, reader: (cell: string) => Read<T>): T | null {
    const cell = cells.get(column);
    if (cell === undefined) return null;
    const result = reader(cell);
    if ('value' in result) return result.value;
    add(column, result.fault);
    return null;
  }
  const unit = cells.get('unit')?.trim() ?? '';
  if (unit === '') add('unit', 'is required');
  const word = (column: string): string | undefined => {
    const cell = cells.get(column);
    return cell === undefined ? undefined : wordIn(cell);
  };
  const given = {
    component: word('component'),
    action: word('action'),
    item: cells.get('item')?.trim() ?? null,
  };
  for (const { pointer = '', detail } of faultsIn(JobLineInput, given)) {
    const column = pointer.slice(1);
    const meant = nearest(word(column) ?? '', CHOICES[column] ?? []);
    add(column, meant === null ? detail : `${detail}; was ${meant} meant?`);
  }
  if (!cells.has('date')) add('date', 'is required');
  const on = read('date', (cell) => dateIn(cell, dateOrder)) ?? '';
  const [odometerKm = null, engineHours = null] = MEASURED.map(([column, kind]) => {
    const value = read(column, (cell) => numberIn(cell, decimal));
    const inUnit = columns.get(column)?.unit;
    if (value === null || !inUnit) return null;
    const quantity = { value, unit: inUnit };
    const fault = quantityFault(quantity, kind);
    if (fault !== null) add(column, fault);
    return canonicalOf(kind, quantity);
  });
  return {
    line,
    unit,
    work: Object.assign(new JobLineInput(), given),
    on,
    odometerKm,
    odometerUnit: columns.get('odometer')?.unit ?? null,
    engineHours,
    cells: { odometer: cells.get('odometer'), hours: cells.get('hours') },
    faults,
  };
}

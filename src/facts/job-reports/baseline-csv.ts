import { ACTIONS, COMPONENTS } from '../../domain/intervals/types.js';
import { CIRCUITS } from '../../domain/vehicles/circuits.js';
import type { ColumnSet } from '../../platform/csv/columns.js';
import type { CsvRow, CsvTable } from '../../platform/csv/csv-rows.js';
import type { RowFault } from '../../platform/csv/import-report.js';
import { nearest } from '../../platform/csv/nearest.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import { quantityFault } from '../../platform/fields/fields.js';
import { faultsIn } from '../../platform/input/validation.pipe.js';
import { RowReader } from '../../platform/csv/row-reader.js';
import { JobLineInput } from './job-report.dto.js';
import { probably } from '../../platform/csv/cells.js';
import { required } from '../../platform/fields/wording.js';

export const BASELINE_IMPORT: ColumnSet = {
  columns: [
    { name: 'unit', aliases: ['unitNumber'] },
    { name: 'component' },
    { name: 'item' },
    { name: 'action' },
    { name: 'circuit' },
    { name: 'date', aliases: ['performedOn', 'doneOn'], holds: 'date' },
    { name: 'odometer', measure: 'distance' },
    { name: 'hours', aliases: ['engineHours'], measure: 'engine-hours' },
  ],
  required: [['unit'], ['component'], ['action'], ['date']],
};

/** A row of the file: work done before records began. */
export interface BaselineRow {
  line: number;
  unit: string;
  work: JobLineInput;
  /** Civil date. Empty if it cannot be read. */
  on: string;
  odometerKm: number | null;
  odometerUnit: string | null;
  engineHours: number | null;
  /** The text of the counters' cells. */
  cells: { odometer?: string; hours?: string };
  faults: RowFault[];
}

const CHOICES: Readonly<Record<string, readonly string[]>> = {
  component: COMPONENTS,
  action: ACTIONS,
  circuit: CIRCUITS,
};

/** Reads a row with the rules for a job line. */
export function readBaselineRow(row: CsvRow, table: CsvTable): BaselineRow {
  const { line, cells } = row;
  const reader = new RowReader(row, table);
  const unit = reader.trimmed('unit') ?? '';
  if (unit === '') reader.addFault('unit', required());
  const work = readWork(reader);
  if (!cells.has('date')) reader.addFault('date', required());
  return {
    line,
    unit,
    work,
    on: reader.date('date') ?? '',
    odometerKm: readCounter(reader, 'odometer', 'distance'),
    odometerUnit: table.columns.get('odometer')?.unit ?? null,
    engineHours: readCounter(reader, 'hours', 'engine-hours'),
    cells: { odometer: cells.get('odometer'), hours: cells.get('hours') },
    faults: reader.faults,
  };
}

function readWork(reader: RowReader): JobLineInput {
  const given = {
    component: reader.word('component') ?? undefined,
    action: reader.word('action') ?? undefined,
    item: reader.trimmed('item'),
    circuit: reader.word('circuit'),
  };
  for (const { pointer = '', detail } of faultsIn(JobLineInput, given)) {
    const column = pointer.slice(1);
    const meant = nearest(reader.word(column) ?? '', CHOICES[column] ?? []);
    reader.addFault(column, meant === null ? detail : probably(detail, meant));
  }
  return Object.assign(new JobLineInput(), given);
}

/** In kilometres or hours. */
function readCounter(reader: RowReader, column: string, kind: 'distance' | 'engine-hours'): number | null {
  const quantity = reader.quantity(column);
  const fault = quantity && quantityFault(quantity, kind);
  if (fault) reader.addFault(column, fault);
  return canonicalOf(kind, quantity);
}

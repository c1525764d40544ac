import { canonicalJson } from '../../domain/canonical-json.js';
import type { StoredLine } from '../../domain/conclusions/stored-line.js';
import { arrayLiteral } from '../../platform/database/array-literal.js';
import { arrayRows } from '../../platform/database/array-row.js';
import { columnOf } from '../../platform/database/snake-naming.js';
import { forEachYielding } from '../../platform/concurrency/yielding.js';

/**
 * The type of each column of a stored due line, by field. These are the columns that are read,
 * compared and written.
 */
const TYPES: Record<keyof StoredLine, 'uuid' | 'text' | 'boolean' | 'date' | 'float8' | 'jsonb'> = {
  id: 'uuid',
  vehicleId: 'uuid',
  unitNumber: 'text',
  depotId: 'uuid',
  component: 'text',
  action: 'text',
  item: 'text',
  circuit: 'text',
  namedCircuit: 'text',
  origin: 'text',
  originKey: 'text',
  isOpen: 'boolean',
  noBaseline: 'boolean',
  windowOpensOn: 'date',
  dueOn: 'date',
  lateOn: 'date',
  lateLapsesOn: 'date',
  lateForGoodOn: 'date',
  earliestOn: 'date',
  latestOn: 'date',
  trigger: 'text',
  dueOdometerLifetimeKm: 'float8',
  dueEngineHoursLifetime: 'float8',
  dueDate: 'date',
  lastDoneOn: 'date',
  lastDoneOdometerLifetimeKm: 'float8',
  lastDoneEngineHoursLifetime: 'float8',
  lastDoneReportId: 'uuid',
  cycle: 'text',
  staleOn: 'date',
  needsReading: 'boolean',
  postponedUntil: 'date',
  isStarter: 'boolean',
  isAtOnce: 'boolean',
  causes: 'jsonb',
  openedBy: 'jsonb',
  releasedWith: 'jsonb',
};
const FIELDS = Object.keys(TYPES) as (keyof StoredLine)[];

export const LINE_COLUMNS: readonly string[] = FIELDS.map(columnOf);
/** For `unnest`, which takes one array for each column. */
export const LINE_TYPES: readonly string[] = FIELDS.map((field) => TYPES[field]);

/** Turns the values of `LINE_COLUMNS`, as they come out of JSON, into a line. */
export const lineOf = arrayRows<StoredLine>(FIELDS);

/** A value in the form in which it is written: a list becomes its JSON. */
function plain(value: StoredLine[keyof StoredLine]): string | number | boolean | null {
  return typeof value === 'object' && value !== null ? JSON.stringify(value) : value;
}

/** The values of lines column by column. */
export async function lineColumns(lines: readonly StoredLine[]): Promise<string[]> {
  const columns: string[] = [];
  await forEachYielding(
    FIELDS,
    (field) => void columns.push(arrayLiteral(lines.map((line) => plain(line[field])))),
  );
  return columns;
}

function isSameValue(left: StoredLine[keyof StoredLine], right: StoredLine[keyof StoredLine]): boolean {
  if (typeof left !== 'object' || typeof right !== 'object') return left === right;
  return left === right || canonicalJson(left) === canonicalJson(right);
}

/** Whether a stored line equals a concluded one. Both have the same id. */
export function sameLine(stored: StoredLine, concluded: StoredLine): boolean {
  return FIELDS.every((field) => isSameValue(stored[field], concluded[field]));
}

import type { Message } from '../../domain/message.js';
import { type MeasureKind, MEASURES, type UnitSystem } from '../../domain/quantities/measures.js';
import { dimensionOf, type Unit, unitsOf } from '../../domain/quantities/units.js';
import { unitNamed } from '../../domain/spreadsheets/numbers.js';
import type { FieldFault } from '../problems/problem.js';
import { nearest } from './nearest.js';
import { message } from './messages.js';

/** A column that an import can read. */
export interface Column {
  name: string;
  aliases?: readonly string[];
  /** Set for a column of measurements. The unit is the one in the header, or the fleet's. */
  measure?: MeasureKind;
  /**
   * Set when the cells can be written in more than one way. Measurements are numbers by default.
   */
  holds?: 'number' | 'date';
  /** Why this column is known but not imported. */
  leftOut?: Message;
}

export interface ColumnSet {
  columns: readonly Column[];
  /** At least one column of each group must be present. */
  required: readonly (readonly string[])[];
}

/** A column of the file that the import reads. */
export interface MatchedColumn {
  header: string;
  column: string;
  index: number;
  unit: Unit | null;
  holds: 'number' | 'date' | null;
}

export interface MatchedHeader {
  columns: MatchedColumn[];
  faults: FieldFault[];
  notices: { column: string; detail: Message }[];
}

/** No sheet of this kind has more columns. A file that does is something else. */
const MAX_COLUMNS = 200;

const keyOf = (text: string): string => text.toLowerCase().replaceAll(/[\s_.-]/g, '');

const shown = (text: string): string => (text.length > 60 ? `${text.slice(0, 57)}…` : text);

type Reading = { column: Column; unit: Unit | null } | { fault: Message } | null;

/**
 * Finds the column and unit that a header names. `odometer (mi)`, `Odometer [mi]`, `odometerMi` and
 * `odometer_mi` all mean the odometer in miles.
 */
function readHeader(header: string, columns: readonly Column[]): Reading {
  const [, base = header, bracketed] = /^(.*?)\s*[([]\s*([^)\]]*)\s*[)\]]\s*$/.exec(header.trim()) ?? [];
  const namesOf = ({ name, aliases = [] }: Column): string[] => [name, ...aliases].map(keyOf);
  const key = keyOf(base);
  const column = columns.find((candidate) => namesOf(candidate).includes(key));
  if (column) {
    if (bracketed === undefined || bracketed === '') return { column, unit: null };
    if (!column.measure) return { fault: message('column-without-unit', { unit: shown(bracketed) }) };
    const accepted = unitsOf(dimensionOf(MEASURES[column.measure].canonical));
    const unit = unitNamed(bracketed, accepted);
    return unit
      ? { column, unit }
      : { fault: message('column-unit-not-taken', { given: shown(bracketed), units: accepted }) };
  }
  if (bracketed !== undefined) return null;
  for (const candidate of columns) {
    if (!candidate.measure) continue;
    const accepted = unitsOf(dimensionOf(MEASURES[candidate.measure].canonical));
    for (const name of namesOf(candidate)) {
      const unit = key.startsWith(name) ? unitNamed(key.slice(name.length), accepted) : null;
      if (unit) return { column: candidate, unit };
    }
  }
  return null;
}

/**
 * Finds the columns of a file by its header. An unknown column is left out with a notice. If its
 * name is close to that of a missing column, it is a fault instead: a typing error must not lose
 * data.
 */
export function matchHeader(headers: string[], set: ColumnSet, system: UnitSystem): MatchedHeader {
  const faults: FieldFault[] = [];
  const notices: MatchedHeader['notices'] = [];
  if (headers.length > MAX_COLUMNS) {
    const detail = message('header-too-long', { count: headers.length, most: MAX_COLUMNS });
    return { columns: [], faults: [{ line: 1, detail }], notices };
  }
  const found = new Map<string, MatchedColumn>();
  const unknown: string[] = [];
  for (const [index, raw] of headers.entries()) {
    const header = shown(raw.trim());
    const reading = readHeader(raw, set.columns);
    if (reading === null) {
      if (header !== '') unknown.push(header);
      continue;
    }
    if ('fault' in reading) {
      faults.push({ line: 1, column: header, detail: reading.fault });
      continue;
    }
    const { column, unit } = reading;
    const first = found.get(column.name);
    if (first) {
      const detail = message('column-named-twice', { column: column.name, first: first.header });
      faults.push({ line: 1, column: header, detail });
    } else if (column.leftOut !== undefined)
      notices.push({ column: header, detail: message('column-left-out', { why: column.leftOut }) });
    else {
      const inUnit = column.measure ? (unit ?? MEASURES[column.measure][system]) : null;
      const holds = column.holds ?? (column.measure ? 'number' : null);
      found.set(column.name, { header, column: column.name, index, unit: inUnit, holds });
    }
  }
  const missing = set.columns.filter(({ name, leftOut }) => leftOut === undefined && !found.has(name));
  const wanted = missing.flatMap(({ name, aliases = [] }) => [name, ...aliases]);
  for (const header of unknown) {
    const meant = nearest(keyOf(header.replace(/\s*[([].*$/, '')), wanted);
    if (meant === null) notices.push({ column: header, detail: message('column-unknown') });
    else {
      faults.push({ line: 1, column: header, detail: message('column-misspelt', { meant }) });
    }
  }
  for (const group of set.required) {
    if (group.some((name) => found.has(name))) continue;
    const detail = message('column-missing', { count: group.length, columns: group });
    faults.push({ line: 1, column: group[0], detail });
  }
  return { columns: [...found.values()], faults, notices };
}

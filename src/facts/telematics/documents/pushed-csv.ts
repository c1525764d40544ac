import type { Unit } from '../../../domain/quantities/units.js';
import { delimiterOf, isBlank, type RawRow, rawRows, startOf } from '../../../platform/csv/raw-rows.js';
import { Problem } from '../../../platform/problems/problem.js';
import { MOST_PUSHED, shownText, textOfPage } from './limits.js';
import { type MachineIdentity, type SourcePage, UnreadableDocument } from './machine-report.js';
import { message } from './messages.js';
import { readCode, readCount, readFlag } from './pushed-json.js';
import { type Found, PageBuilder, type ReportBuilder } from './report-builder.js';

/** How much text the parser is given at a time; the event loop runs in between. */
const PIECE = 64 * 1024;

/** What a column holds; a counter with the unit that its name gives. */
type Holds =
  | { field: 'at' | 'vin' | 'serial_number' | 'equipment_id' | 'make' | 'model' }
  | { field: 'fault_code' | 'fault_active' | 'fault_count' }
  | { field: 'odometer' | 'engine_hours' | 'coolant_temperature'; unit: Unit };

/** The columns by their names. Engine hours name their unit. */
const COLUMNS: Readonly<Record<string, Holds>> = {
  at: { field: 'at' },
  vin: { field: 'vin' },
  serial_number: { field: 'serial_number' },
  equipment_id: { field: 'equipment_id' },
  make: { field: 'make' },
  model: { field: 'model' },
  odometer_km: { field: 'odometer', unit: 'km' },
  odometer_mi: { field: 'odometer', unit: 'mi' },
  engine_hours: { field: 'engine_hours', unit: 'h' },
  coolant_temperature_c: { field: 'coolant_temperature', unit: 'C' },
  coolant_temperature_f: { field: 'coolant_temperature', unit: 'F' },
  fault_code: { field: 'fault_code' },
  fault_active: { field: 'fault_active' },
  fault_count: { field: 'fault_count' },
};
const NEEDS_UNIT: Readonly<Record<string, readonly string[]>> = {
  odometer: ['odometer_km', 'odometer_mi'],
  coolant_temperature: ['coolant_temperature_c', 'coolant_temperature_f'],
};
const IDENTITY = ['vin', 'serial_number', 'equipment_id'] as const;

interface Columns {
  of: ReadonlyMap<Holds['field'], { name: string; index: number; holds: Holds }>;
  /** How many cells the header has. */
  width: number;
}

/**
 * Reads what a program pushes as CSV (RFC 4180, UTF-8): a header, then one row for each instant of
 * a machine. Rows of one machine are one report. Numbers have a decimal point. A place is the line,
 * from 1, and the column: `/4/odometer_km`.
 *
 * @throws UnreadableDocument where it is no CSV, or has no column for the instant or the machine
 */
export async function readPushedCsv(bytes: Uint8Array): Promise<SourcePage> {
  const text = textOfPage(bytes);
  const page = new PageBuilder();
  const builders = new Map<string, ReportBuilder>();
  let columns: Columns | null = null;
  let rows = -1;
  for await (const row of rowsOf(text)) {
    if (isBlank(row)) continue;
    if (++rows > MOST_PUSHED)
      throw new UnreadableDocument(message('telematics-too-many-values', { most: MOST_PUSHED }));
    if (columns === null) columns = columnsOf(row, page);
    else takeRow(row, columns, page, builders);
  }
  if (columns === null) throw missing();
  return page.page(null);
}

async function* rowsOf(text: string): AsyncGenerator<RawRow> {
  const source = {
    encoding: 'utf-8' as const,
    async *read(): AsyncGenerator<Buffer> {
      const bytes = Buffer.from(text);
      for (let at = 0; at < bytes.length; at += PIECE) {
        if (at > 0) await new Promise((resolve) => setImmediate(resolve));
        yield bytes.subarray(at, at + PIECE);
      }
    },
  };
  let line = 1;
  try {
    const delimiter = delimiterOf(await startOf(source));
    for await (const row of rawRows(source, delimiter)) {
      ({ line } = row);
      yield row;
    }
  } catch (error) {
    if (!(error instanceof Problem)) throw error;
    const fault = error.errors[0];
    throw new UnreadableDocument(message('telematics-csv-broken', { line: fault?.line ?? line + 1 }));
  }
}

const missing = (): UnreadableDocument =>
  new UnreadableDocument(message('telematics-column-missing', { columns: ['at', IDENTITY[0]] }));

function columnsOf({ cells, line }: RawRow, page: PageBuilder): Columns {
  const columns: Map<Holds['field'], { name: string; index: number; holds: Holds }> = new Map();
  for (const [index, cell] of cells.entries()) {
    const name = cell
      .trim()
      .toLowerCase()
      .replaceAll(/[\s-]+/g, '_');
    if (name === '') continue;
    const holds = Object.hasOwn(COLUMNS, name) ? COLUMNS[name] : undefined;
    if (holds === undefined) refuseColumn(name, line, page);
    else if (columns.has(holds.field))
      throw new UnreadableDocument(message('telematics-column-twice', { column: name }));
    else columns.set(holds.field, { name, index, holds });
  }
  if (!columns.has('at') || !IDENTITY.some((name) => columns.has(name))) throw missing();
  return { of: columns, width: cells.length };
}

function refuseColumn(name: string, line: number, page: PageBuilder): void {
  const path = `/${line}/${shownText(name)}`;
  const units = Object.hasOwn(NEEDS_UNIT, name) ? NEEDS_UNIT[name] : undefined;
  page.refuse(
    path,
    units === undefined
      ? message('telematics-column-unknown', { column: shownText(name), columns: Object.keys(COLUMNS) })
      : message('telematics-unit-missing', { field: name, units }),
  );
}

function takeRow(
  { cells, line }: RawRow,
  columns: Columns,
  page: PageBuilder,
  builders: Map<string, ReportBuilder>,
): void {
  // A decimal comma in a file of commas would move every figure after it into the next column.
  if (cells.length !== columns.width) {
    const why = message('telematics-row-width', { cells: cells.length, columns: columns.width });
    return page.refuse(`/${line}`, why);
  }
  const cell = (field: Holds['field']): Found => {
    const column = columns.of.get(field);
    const text = column === undefined ? '' : (cells[column.index]?.trim() ?? '');
    return { text: text === '' ? null : text, path: `/${line}/${column?.name ?? field}` };
  };
  const identity: MachineIdentity = {
    vin: page.name(cell('vin'))?.toUpperCase() ?? null,
    serialNumber: page.name(cell('serial_number')),
    equipmentId: page.name(cell('equipment_id')),
    make: page.name(cell('make')),
    model: page.name(cell('model')),
  };
  const key = JSON.stringify(identity);
  const builder = builders.get(key) ?? page.machine(identity, `/${line}`, IDENTITY);
  if (builder === null) return;
  builders.set(key, builder);
  takeCounters(columns, cell, builder);
  const code = cell('fault_code');
  if (code.text === null) return;
  const read = readCode(code, builder);
  const isActive = readFlag(cell('fault_active'), builder);
  const occurrences = readCount(cell('fault_count'), builder);
  if (read !== null && isActive !== null) builder.fault(cell('at'), read, { isActive, occurrences });
}

function takeCounters(
  columns: Columns,
  cell: (field: Holds['field']) => Found,
  builder: ReportBuilder,
): void {
  const at = cell('at');
  for (const { holds } of columns.of.values()) {
    if (!('unit' in holds)) continue;
    const amount = cell(holds.field);
    if (amount.text === null) continue;
    if (holds.field === 'odometer') builder.odometer(at, amount, holds.unit);
    else if (holds.field === 'engine_hours') builder.engineHours(at, amount);
    else builder.coolant(at, amount, holds.unit);
  }
}

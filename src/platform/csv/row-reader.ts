import type { Message } from '../../domain/message.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { type Read, wordIn } from './cells.js';
import type { CsvRow, CsvTable } from './csv-rows.js';
import { dateIn } from './date-cells.js';
import type { RowFault } from './import-report.js';
import { numberIn } from './number-cells.js';

/** Reads the cells of a row by the conventions of its file, and collects their faults. */
export class RowReader {
  readonly faults: RowFault[] = [];

  constructor(
    private readonly row: CsvRow,
    private readonly table: CsvTable,
  ) {
    for (const [column, detail] of row.unread ?? []) this.addFault(column, detail);
  }

  /** Adds a fault to a column, together with the text of its cell. */
  addFault(column: string, detail: Message): void {
    const value = this.row.written?.get(column) ?? this.row.cells.get(column);
    this.faults.push({ column, ...(value === undefined ? {} : { value }), detail });
  }

  /** @returns null when the cell is empty or cannot be read; the latter is recorded as a fault */
  read<T>(column: string, reader: (cell: string) => Read<T>): T | null {
    const cell = this.row.cells.get(column);
    if (cell === undefined || this.row.unread?.has(column)) return null;
    const result = reader(cell);
    if ('value' in result) return result.value;
    this.addFault(column, result.fault);
    return null;
  }

  trimmed(column: string): string | null {
    return this.row.cells.get(column)?.trim() ?? null;
  }

  /** Reads a word of a fixed list. */
  word(column: string): string | null {
    const cell = this.row.cells.get(column);
    return cell === undefined ? null : wordIn(cell);
  }

  number(column: string): number | null {
    return this.read(column, (cell) => numberIn(cell, this.table.conventions.decimal));
  }

  /** Reads a measurement in the unit that the header names. */
  quantity(column: string): Quantity | null {
    const value = this.number(column);
    const unit = this.table.columns.get(column)?.unit;
    return value === null || !unit ? null : { value, unit };
  }

  date(column: string): string | null {
    return this.read(column, (cell) => dateIn(cell, this.table.conventions.dateOrder));
  }
}

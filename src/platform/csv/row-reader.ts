import type { Message } from '../../domain/message.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { type Read, wordIn } from './cells.js';
import type { CsvRow, CsvTable } from './csv-rows.js';
import { dateIn } from './date-cells.js';
import type { RowFault } from './import-report.js';
import { numberIn } from './number-cells.js';

/** Reads the cells of a row by the conventions of its file, and gathers what is wrong with them. */
export class RowReader {
  readonly faults: RowFault[] = [];

  constructor(
    private readonly row: CsvRow,
    private readonly table: CsvTable,
  ) {}

  /** Notes what is wrong with a column, beside what its cell says. */
  addFault(column: string, detail: Message): void {
    const value = this.row.cells.get(column);
    this.faults.push({ column, ...(value === undefined ? {} : { value }), detail });
  }

  /** @returns null where the cell is empty, or cannot be read, which is noted */
  read<T>(column: string, reader: (cell: string) => Read<T>): T | null {
    const cell = this.row.cells.get(column);
    if (cell === undefined) return null;
    const result = reader(cell);
    if ('value' in result) return result.value;
    this.addFault(column, result.fault);
    return null;
  }

  trimmed(column: string): string | null {
    return this.row.cells.get(column)?.trim() ?? null;
  }

  /** A word of a fixed list. */
  word(column: string): string | null {
    const cell = this.row.cells.get(column);
    return cell === undefined ? null : wordIn(cell);
  }

  number(column: string): number | null {
    return this.read(column, (cell) => numberIn(cell, this.table.conventions.decimal));
  }

  /** In the unit that the header names. */
  quantity(column: string): Quantity | null {
    const value = this.number(column);
    const unit = this.table.columns.get(column)?.unit;
    return value === null || !unit ? null : { value, unit };
  }

  date(column: string): string | null {
    return this.read(column, (cell) => dateIn(cell, this.table.conventions.dateOrder));
  }
}

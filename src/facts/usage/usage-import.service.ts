import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { flagIn } from '../../platform/csv/cells.js';
import type { ColumnSet } from '../../platform/csv/columns.js';
import type { CsvRow, CsvTable } from '../../platform/csv/csv-rows.js';
import { instantIn } from '../../platform/csv/date-cells.js';
import type { ImportAnswer, ImportQuery } from '../../platform/csv/import.dto.js';
import type { ImportReport } from '../../platform/csv/import-report.js';
import { Imports, type ImportSource } from '../../platform/csv/imports.js';
import { RowReader } from '../../platform/csv/row-reader.js';
import type { Upload } from '../../platform/csv/upload.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { message } from './messages.js';
import { MAX_BATCH, readItem, type UsageItem } from './usage-batch.js';
import { UsageIntakeService } from './usage-intake.service.js';

const USAGE_IMPORT: ColumnSet = {
  columns: [
    { name: 'unitNumber', aliases: ['unit'] },
    { name: 'vehicleId' },
    { name: 'readAt', aliases: ['date', 'readOn'], holds: 'date' },
    { name: 'odometer', measure: 'distance' },
    { name: 'engineHours', aliases: ['hours'], measure: 'engine-hours' },
    { name: 'odometerReplaced' },
    { name: 'engineHoursReplaced' },
    { name: 'source' },
  ],
  required: [['unitNumber', 'vehicleId'], ['readAt'], ['odometer', 'engineHours']],
};

/** Imports usage readings from a spreadsheet. Each row is handled like an item of a batch. */
@Injectable()
export class UsageImportService {
  constructor(
    private readonly imports: Imports,
    private readonly usage: UsageIntakeService,
  ) {}

  async import(source: Upload | ImportSource, query: ImportQuery): Promise<ImportAnswer> {
    return this.imports.run('usage-readings', source, query, USAGE_IMPORT, async (tx, table, report) => {
      for await (const rows of table.chunks(MAX_BATCH)) {
        const items = rows.flatMap((row) => itemOf(row, table, report) ?? []);
        await this.take(tx, items, report);
      }
    });
  }

  private async take(tx: EntityManager, items: UsageItem[], report: ImportReport): Promise<void> {
    const { results, unknown } = await this.usage.take(tx, items, report.importId);
    for (const taken of results) {
      report[taken.status]++;
      if (taken.status === 'held' && taken.detail !== null)
        report.notice({
          line: taken.index,
          detail: message('usage-kept-not-believed', { why: taken.detail }),
        });
    }
    const byLine = new Map(items.map((item) => [item.index, item]));
    for (const { index, field, detail } of unknown) {
      const item = byLine.get(index);
      const value = item?.vehicleId ?? item?.unitNumber ?? '';
      report.reject(index, [{ column: field.slice(1), value, detail }]);
    }
  }
}

/**
 * Turns a row into an item of a batch, with its line number as index. If that is not possible,
 * rejects the row and returns null.
 */
function itemOf(row: CsvRow, table: CsvTable, report: ImportReport): UsageItem | null {
  const { line, cells } = row;
  const { conventions, columns } = table;
  const reader = new RowReader(row, table);
  const raw = {
    vehicleId: reader.trimmed('vehicleId'),
    unitNumber: reader.trimmed('unitNumber'),
    readAt:
      reader.read('readAt', (cell) => instantIn(cell, fleetScope().timeZone, conventions.dateOrder)) ??
      undefined,
    odometer: reader.quantity('odometer'),
    engineHours: reader.quantity('engineHours'),
    odometerReplaced: reader.read('odometerReplaced', flagIn),
    engineHoursReplaced: reader.read('engineHoursReplaced', flagIn),
    ...(cells.has('source') ? { source: reader.word('source') } : {}),
  };
  if (reader.faults.length === 0) {
    const item = readItem(raw, line);
    if (!('reason' in item)) return item;
    const field = item.field.split('/')[1] ?? '';
    const column = columns.has(field) ? field : field === 'odometer' ? 'engineHours' : 'unitNumber';
    reader.addFault(column, item.detail);
  }
  report.reject(line, reader.faults);
  return null;
}

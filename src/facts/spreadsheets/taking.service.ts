import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { Spreadsheet } from '../../entities/spreadsheet.entity.js';
import { Clock } from '../../platform/clock/clock.js';
import type { ImportAnswer, ImportQuery } from '../../platform/csv/import.dto.js';
import type { ImportSource } from '../../platform/csv/imports.js';
import { lockedRowOf } from '../../platform/database/records.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { VehicleImportService } from '../../register/vehicles/vehicle-import.service.js';
import { BaselineImportService } from '../job-reports/baseline-import.service.js';
import { UsageImportService } from '../usage/usage-import.service.js';
import { MappedRows } from './mapped-rows.js';
import type { FinalTakeQuery, TakeQuery } from './spreadsheet.dto.js';
import { keepMapping, removePieces } from './spreadsheets.queries.js';
import { assertHasRows, shapeOf, SpreadsheetsService } from './spreadsheets.service.js';

/** How many mappings of a fleet are kept. */
const MOST_MAPPINGS = 200;

/** Takes the rows of a spreadsheet by its mapping, through the imports of their kinds. */
@Injectable()
export class TakingService {
  constructor(
    private readonly spreadsheets: SpreadsheetsService,
    private readonly vehicles: VehicleImportService,
    private readonly usage: UsageImportService,
    private readonly pastWork: BaselineImportService,
    private readonly clock: Clock,
  ) {}

  /** Checks every row and stores nothing. */
  tryOut(id: string, { partial }: TakeQuery): Promise<ImportAnswer> {
    return this.run(id, { partial, dryRun: 'true' }, false);
  }

  /** Takes the rows, and keeps the mapping for the next file with the same header. */
  take(id: string, { partial, keep }: FinalTakeQuery): Promise<ImportAnswer> {
    return this.run(id, { partial }, keep === 'true');
  }

  /** Checks every row, stores nothing, and tells of every fault of every row. */
  async tellFaults(sheet: Spreadsheet, hear: ImportSource['hear']): Promise<void> {
    await this.import(sheet, { partial: 'true', dryRun: 'true' }, false, hear);
  }

  private async run(id: string, query: ImportQuery, isKept: boolean): Promise<ImportAnswer> {
    return this.import(await this.spreadsheets.rowOf(id), query, isKept);
  }

  private async import(
    sheet: Spreadsheet,
    query: ImportQuery,
    isKept: boolean,
    hear?: ImportSource['hear'],
  ): Promise<ImportAnswer> {
    assertHasRows(sheet);
    const analysis = await this.spreadsheets.look(sheet);
    const concluded: ImportSource['concluded'] = (tx, answer) => this.conclude(tx, sheet, answer, isKept);
    const rows = new MappedRows(sheet, analysis, concluded, hear);
    const told = { ...query, ...(sheet.fileName === null ? {} : { fileName: sheet.fileName }) };
    switch (analysis.kind) {
      case 'vehicles':
        return this.vehicles.import(rows, told);
      case 'usage-readings':
        return this.usage.import(rows, told);
      case 'job-reports':
        return this.pastWork.import(rows, told);
    }
  }

  private async conclude(
    tx: EntityManager,
    { id, choices, version }: Spreadsheet,
    { importId }: ImportAnswer,
    isKept: boolean,
  ): Promise<void> {
    const row = await lockedRowOf(tx, Spreadsheet, id, 'spreadsheet');
    assertHasRows(row);
    const { fleetId } = fleetScope();
    const at = this.clock.now();
    await tx.update(
      Spreadsheet,
      { fleetId, id },
      { takenAt: at, importId, hasRows: isKept, version: version + 1 },
    );
    if (!isKept) await removePieces(tx, fleetId, id);
    const { kind } = row.analysis;
    await keepMapping(
      tx,
      fleetId,
      { shape: shapeOf(row.analysis), kind, choices: { ...choices, kind }, at },
      MOST_MAPPINGS,
    );
  }
}

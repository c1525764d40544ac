import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import type { Message } from '../../domain/message.js';
import { type SheetCell, textOfCell } from '../../domain/spreadsheets/sheet.js';
import type { Spreadsheet } from '../../entities/spreadsheet.entity.js';
import { type Cell, csvLine } from '../../platform/csv/csv-text.js';
import { currentReader, fleetScope } from '../../platform/scope/fleet-scope.js';
import { textOf } from '../../platform/words/render.js';
import { message } from './messages.js';
import { unpackRows } from './reading/pieces.js';
import { piecesOf } from './spreadsheets.queries.js';
import { SpreadsheetsService } from './spreadsheets.service.js';
import { TakingService } from './taking.service.js';

/** What is wrong with each row that would be refused, by the row's number. */
type Faults = Map<number, Set<string>>;

/** A number that begins with a minus is no formula, so it is not written as a text. */
const cellOf = (cell: SheetCell | undefined): Cell =>
  typeof cell === 'number' && cell < 0 ? cell : textOfCell(cell);

/** Exports the rows of a spreadsheet that would be refused, so that they can be put right. */
@Injectable()
export class RefusedRowsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly spreadsheets: SpreadsheetsService,
    private readonly taking: TakingService,
  ) {}

  async *export(id: string): AsyncGenerator<string> {
    const sheet = await this.spreadsheets.rowOf(id);
    const faults: Faults = new Map();
    const reader = currentReader();
    // A trial that is tried again tells again: each fault counts once.
    await this.taking.tellFaults(sheet, (line, column, why) => {
      const told = faults.get(line) ?? new Set();
      faults.set(line, told.add(textOf(message('sheet-refused-cell', { column, why }), reader)));
    });
    const inWords = (said: Message): string => textOf(said, reader);
    const { header } = sheet.analysis;
    const added = [message('sheet-refused-row'), message('sheet-refused-why')].map(inWords);
    yield csvLine([...header, ...added]);
    yield* this.rows(sheet, faults);
  }

  /** The refused rows, a piece of the file at a time. */
  private async *rows(sheet: Spreadsheet, faults: Faults): AsyncGenerator<string> {
    const place = sheet.sheets.findIndex(({ name }) => name === sheet.sheet);
    const { fleetId } = fleetScope();
    const width = sheet.analysis.header.length;
    for (let from = 0; ; from++) {
      const part = { id: sheet.id, sheet: place, from, most: 1 };
      const [piece] = await piecesOf(this.dataSource.manager, fleetId, part);
      if (piece === undefined) return;
      const lines = (await unpackRows(piece)).flatMap(({ row, cells }) => {
        const why = faults.get(row);
        if (why === undefined) return [];
        const own = Array.from({ length: width }, (_, index) => cellOf(cells[index]));
        return [csvLine([...own, row, [...why].join(' ')])];
      });
      if (lines.length > 0) yield lines.join('');
    }
  }
}

import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import type { SheetAnalysis } from '../../domain/spreadsheets/analyse.js';
import { fieldOf } from '../../domain/spreadsheets/fields.js';
import {
  type Choices,
  readColumns,
  replacements,
  understand,
  type Understanding,
} from '../../domain/spreadsheets/mapping.js';
import { oddityOf } from '../../domain/spreadsheets/odd-rows.js';
import { answerTo, isOpenQuestion } from '../../domain/spreadsheets/questions.js';
import { readRow, type RowMapping } from '../../domain/spreadsheets/read-row.js';
import { columnName } from '../../domain/spreadsheets/sheet.js';
import type { Spreadsheet } from '../../entities/spreadsheet.entity.js';
import type { ColumnSet, MatchedColumn } from '../../platform/csv/columns.js';
import type { CsvRow, CsvTable } from '../../platform/csv/csv-rows.js';
import type { Delimiter } from '../../platform/csv/csv-text.js';
import type { Encoding } from '../../platform/csv/encodings.js';
import type { ImportReport } from '../../platform/csv/import-report.js';
import type { ImportSource } from '../../platform/csv/imports.js';
import { notStorable, UNSTORABLE } from '../../platform/input/json-body.js';
import { conflict } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { message } from './messages.js';
import { unpackRows } from './reading/pieces.js';
import { factsOf, type FoundFacts } from './sheet-facts.js';
import { insertDepots, piecesOf } from './spreadsheets.queries.js';

const MAX_DEPOT_NAME = 120;

/** The columns of a mapping, as the imports know them. */
function matched({ columns, kind }: Understanding): MatchedColumn[] {
  return columns.flatMap(({ field, index, unit, survey }) => {
    const holds = field === null ? undefined : fieldOf(kind, field)?.holds;
    if (field === null || holds === undefined) return [];
    const header = survey.header === '' ? columnName(index) : survey.header;
    return [{ header, column: field, index, unit, holds: holds === 'number' ? 'number' : null }];
  });
}

/**
 * Makes the depots that the client wants made. What the client calls otherwise gets that name.
 *
 * @returns how many are new
 */
async function makeDepots(tx: EntityManager, { full }: FoundFacts, { answers }: Choices): Promise<number> {
  const { option, values } = answerTo(answers, 'names:depot');
  if (option !== 'make') return 0;
  const names = new Map<string, string>();
  for (const given of full.names['depot'] ?? []) {
    const name = (values[given] ?? given).trim();
    const isName = name !== '' && name.length <= MAX_DEPOT_NAME && !UNSTORABLE.test(name);
    if (isName && !names.has(name.toLowerCase())) names.set(name.toLowerCase(), name);
  }
  const depots = [...names.values()].map((name) => ({ id: uuidv7(), name }));
  return depots.length === 0 ? 0 : insertDepots(tx, fleetScope().fleetId, depots);
}

/** The rows of a spreadsheet by its mapping, for the imports. */
export class MappedRows implements ImportSource {
  readonly sha256: string;

  /** @param analysis of now, with the texts of single cells */
  constructor(
    private readonly sheet: Spreadsheet,
    private readonly analysis: SheetAnalysis,
    readonly concluded: ImportSource['concluded'],
    readonly hear?: ImportSource['hear'],
  ) {
    this.sha256 = sheet.sha256.toString('hex');
  }

  /** @throws Problem 409 while a question is open */
  async open(tx: EntityManager, _columns: ColumnSet, report: ImportReport): Promise<CsvTable> {
    const { analysis, sheet } = this;
    const { fleetId, units } = fleetScope();
    const found = await factsOf(tx, fleetId, analysis);
    const { choices, sheets } = sheet;
    const understood = understand({ analysis, sheets, facts: found.facts }, choices, units);
    assertAnswered(understood);
    const columns = matched(understood);
    report.understood(sheet.encoding as Encoding | null, sheet.delimiter as Delimiter | null, columns);
    const made = await makeDepots(tx, found, choices);
    if (made > 0) report.notice({ detail: message('sheet-depots-made', { count: made }) });
    const mapping: RowMapping = {
      kind: understood.kind,
      columns: readColumns(understood.columns),
      is1904: sheets.find(({ name }) => name === sheet.sheet)?.is1904 ?? false,
      replaced: replacements(found.full, understood.kind, choices.answers),
    };
    let isCounted = false;
    return {
      conventions: { decimal: 'point', dateOrder: null },
      columns: new Map(columns.map((column) => [column.column, column])),
      chunks: (size) => {
        const told = isCounted ? null : report;
        isCounted = true;
        return this.chunks(tx, size, mapping, told);
      },
    };
  }

  private async *chunks(
    tx: EntityManager,
    size: number,
    mapping: RowMapping,
    report: ImportReport | null,
  ): AsyncGenerator<CsvRow[]> {
    const place = this.sheet.sheets.findIndex(({ name }) => name === this.sheet.sheet);
    const { fleetId } = fleetScope();
    let chunk: CsvRow[] = [];
    for (let from = 0; ; from++) {
      const [piece] = await piecesOf(tx, fleetId, { id: this.sheet.id, sheet: place, from, most: 1 });
      if (piece === undefined) break;
      for (const row of await unpackRows(piece)) {
        if (!this.isRecord(row)) continue;
        if (report) report.rows++;
        const { cells, unread, written } = readRow(row, mapping);
        const bad = [...cells].find(([, text]) => UNSTORABLE.test(text));
        if (bad) report?.reject(row.row, [{ column: bad[0], detail: notStorable() }]);
        else chunk.push({ line: row.row, cells, unread, written });
        if (chunk.length < size) continue;
        yield chunk;
        chunk = [];
      }
    }
    if (chunk.length > 0) yield chunk;
  }

  /** Whether a row is one of the records: below the header, and not left out. */
  private isRecord(row: Parameters<typeof oddityOf>[0]): boolean {
    const { analysis, sheet } = this;
    if (row.row <= analysis.headerRow) return false;
    if (answerTo(sheet.choices.answers, 'rows:odd').option === 'take') return true;
    return oddityOf(row, analysis.header, this.unitIndex) === null;
  }

  private get unitIndex(): number | null {
    return this.analysis.unitIndex;
  }
}

/** @throws Problem 409 naming the questions that keep the rows from being taken */
function assertAnswered({ questions }: Understanding): void {
  const open = questions.filter(isOpenQuestion);
  if (open.length === 0) return;
  throw conflict(
    'questions-open',
    message('sheet-questions-open', { count: open.length }),
    open.map(({ id, text }) => ({
      pointer: `/questions/${id.replaceAll('~', '~0').replaceAll('/', '~1')}`,
      detail: text,
    })),
  );
}

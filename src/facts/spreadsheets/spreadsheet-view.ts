import { MEASURES, type UnitSystem } from '../../domain/quantities/measures.js';
import { dimensionOf, unitsOf } from '../../domain/quantities/units.js';
import type { Message } from '../../domain/message.js';
import { FIELDS, NEEDED, type SheetField } from '../../domain/spreadsheets/fields.js';
import { understand, type Understanding } from '../../domain/spreadsheets/mapping.js';
import { kindTerm } from '../../domain/spreadsheets/kind-term.js';
import { message as told } from '../../domain/spreadsheets/messages.js';
import type { ProposedColumn } from '../../domain/spreadsheets/propose.js';
import { isOpenQuestion } from '../../domain/spreadsheets/questions.js';
import { readRow } from '../../domain/spreadsheets/read-row.js';
import { columnName } from '../../domain/spreadsheets/sheet.js';
import { knownWords } from '../../domain/spreadsheets/words.js';
import type { Spreadsheet } from '../../entities/spreadsheet.entity.js';
import { message } from './messages.js';
import type { SpreadsheetView } from './spreadsheet-view.dto.js';

/** What the texts of a file are: they may look like a message or a measure, and are neither. */
const asText = (text: string): string => text;

/** A spreadsheet as its client sees it: the proposed mapping, and what is doubtful. */
export function spreadsheetView(sheet: Spreadsheet, system: UnitSystem): SpreadsheetView {
  const { analysis, facts, sheets, choices } = sheet;
  const understood = understand({ analysis, sheets, facts }, choices, system);
  const isReady = sheet.hasRows && !understood.questions.some(isOpenQuestion);
  const view = {
    id: sheet.id,
    state: sheet.takenAt !== null ? 'taken' : isReady ? 'ready' : 'asking',
    fileName: sheet.fileName,
    format: sheet.format,
    encoding: sheet.encoding,
    delimiter: sheet.delimiter,
    sizeBytes: sheet.sizeBytes,
    receivedAt: sheet.receivedAt.toISOString(),
    keptUntil: sheet.keptUntil.toISOString(),
    hasRows: sheet.hasRows,
    kind: understood.kind,
    kindLabel: kindTerm(understood.kind),
    sheet: sheet.sheet,
    sheets: sheets.map(({ name, rows }) => ({ name, rows })),
    headerRow: analysis.headerRow,
    titles: analysis.titles.first,
    rows: analysis.rows,
    oddRows: analysis.oddCount,
    columns: understood.columns.map((column) => columnView(column, understood, sheet)),
    fields: FIELDS[understood.kind].map((field) => fieldView(field, understood)),
    questions: understood.questions.map(({ text, options, ...question }) => ({
      ...question,
      text,
      options,
      examples: question.examples.map((example) => ({ ...example, why: example.why ?? null })),
      values: question.values.map((value) => ({ ...value, nearest: value.nearest ?? null })),
    })),
    notices: noticesOf(sheet, understood),
    mappingFrom: sheet.mappingFrom?.toISOString() ?? null,
    takenAt: sheet.takenAt?.toISOString() ?? null,
    importId: sheet.importId,
    version: sheet.version,
  };
  return view as unknown as SpreadsheetView;
}

function columnView(column: ProposedColumn, { kind }: Understanding, sheet: Spreadsheet) {
  const { field, index, unit, decimal, dateOrder, survey } = column;
  const is1904 = sheet.sheets.find(({ name }) => name === sheet.sheet)?.is1904 ?? false;
  const read = (row: number, cell: (typeof survey.samples)[number]['cell']) => {
    if (field === null) return { read: null, fault: null };
    const columns = [{ index: 0, field, unit, decimal, dateOrder }];
    const mapped = readRow({ row, cells: [cell] }, { kind, columns, is1904, replaced: {} });
    const fault = mapped.unread.get(field) ?? null;
    return { read: fault === null ? (mapped.cells.get(field) ?? null) : null, fault };
  };
  return {
    column: columnName(index),
    header: survey.header,
    field,
    label: field === null ? null : told('sheet-field', { field }),
    decidedBy: column.decidedBy,
    ...{ unit, unitBy: column.unitBy, decimal, dateOrder },
    filled: survey.filled,
    samples: survey.samples.map(({ row, value, cell }) => ({
      row,
      value: asText(value),
      ...read(row, cell),
    })),
  };
}

function fieldView({ name, holds, measure }: SheetField, { kind, columns }: Understanding) {
  const found = columns.find(({ field }) => field === name);
  return {
    field: name,
    label: told('sheet-field', { field: name }),
    holds,
    isNeeded: NEEDED[kind].some((group) => group.includes(name)),
    column: found === undefined ? null : columnName(found.index),
    units: measure === undefined ? null : unitsOf(dimensionOf(MEASURES[measure].canonical)),
    words: knownWords(name),
  };
}

function noticesOf(sheet: Spreadsheet, { columns, kind }: Understanding): Message[] {
  const { analysis, facts } = sheet;
  const left = columns.filter(({ field, survey }) => field === null && survey.filled > 0);
  const { unknownUnits } = facts;
  return [
    ...(sheet.mappingFrom === null ? [] : [message('sheet-note-mapping-again')]),
    ...(sheet.encoding === 'windows-1252' ? [message('sheet-note-windows-1252')] : []),
    ...sheet.unread.map(({ name, why }) => message('sheet-note-unread', { sheet: name, why })),
    ...(analysis.titles.count === 0
      ? []
      : [message('sheet-note-titles', { count: analysis.titles.count, header: analysis.headerRow })]),
    ...left.map(({ index, survey }) =>
      message('sheet-note-column-left-out', { column: columnName(index), header: survey.header }),
    ),
    ...(kind === 'vehicles' || unknownUnits.count === 0
      ? []
      : [
          message('sheet-note-unknown-units', {
            count: unknownUnits.count,
            units: unknownUnits.first.map(asText),
          }),
        ]),
  ];
}

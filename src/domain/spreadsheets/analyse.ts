import type { UnitSystem } from '../quantities/measures.js';
import { type ColumnSurvey, surveyColumns } from './column-survey.js';
import { type FieldName, fieldOf, type SheetKind, UNIT_FIELD } from './fields.js';
import { headerRowOf } from './header-row.js';
import { type Oddity, oddityOf } from './odd-rows.js';
import { type ColumnChoice, guessKind, isKindOpen, type KindGuess, proposeColumns } from './propose.js';
import { isEmpty, type SeenCell, type SheetRow, textOfCell } from './sheet.js';

/** What the client chose before a sheet is looked at. What is left out is found out. */
export interface SheetChoices {
  kind: SheetKind | null;
  headerRow: number | null;
  columns: Readonly<Record<string, ColumnChoice>>;
}

/** A row that is probably no record. */
export interface OddRow extends SeenCell {
  why: Oddity;
}

/** How many rows have each different text of a field. */
export type Counted = Readonly<Record<string, number>>;

/** What a sheet holds. */
export interface SheetAnalysis {
  kind: SheetKind;
  kinds: KindGuess[];
  isKindOpen: boolean;
  /** The row of the header; 0 when the sheet has no row. */
  headerRow: number;
  header: string[];
  /** The column of the unit numbers, by which rows that are no records were told. */
  unitIndex: number | null;
  /** The rows above the header: how many, and the first of them. */
  titles: { count: number; first: SeenCell[] };
  /** How many rows are below the header, without the odd ones. */
  rows: number;
  oddCount: number;
  oddRows: OddRow[];
  columns: ColumnSurvey[];
  /** The different texts of the fields that are looked up, such as unit numbers and depots. */
  distinct: Partial<Record<FieldName, Counted>>;
}

const SHOWN_ROWS = 20;
/** How many different words of a list are looked at. Names are looked at all. */
const MOST_WORDS = 500;
const MOST_NAMES = 100_000;

const shownRow = ({ row, cells }: SheetRow): SeenCell => ({
  row,
  value: cells
    .filter((cell) => !isEmpty(cell))
    .map((cell) => textOfCell(cell).trim())
    .join(' | ')
    .slice(0, 120),
});

/**
 * Looks at all rows of a sheet: finds its header, what kind it is, what each column holds, and which
 * rows are no records.
 */
export function analyseSheet(
  rows: readonly SheetRow[],
  choices: SheetChoices,
  system: UnitSystem,
): SheetAnalysis {
  const chosen = rows.find(({ row }) => row === choices.headerRow);
  const top = chosen ?? headerRowOf(rows);
  const header = (top?.cells ?? []).map((cell) => textOfCell(cell).trim().replaceAll(/\s+/g, ' '));
  const headerRow = top?.row ?? 0;
  const bare = surveyColumns(header, []);
  const kinds = guessKind(bare);
  const kind = choices.kind ?? kinds[0]?.kind ?? 'vehicles';
  const unitIndex = unitIndexOf(bare, kind, choices, system);
  const below = rows.filter(({ row }) => row > headerRow);
  const width = below.reduce((most, { cells }) => Math.max(most, cells.length), header.length);
  const wide = Array.from({ length: width }, (_, index) => header[index] ?? '');
  const records: SheetRow[] = [];
  const odd: OddRow[] = [];
  for (const row of below) {
    const why = oddityOf(row, wide, unitIndex);
    if (why === null) records.push(row);
    else odd.push({ ...shownRow(row), why });
  }
  const columns = surveyColumns(wide, records);
  const above = rows.filter(({ row }) => row < headerRow);
  return {
    ...{
      kind,
      kinds,
      isKindOpen: choices.kind === null && isKindOpen(kinds),
      headerRow,
      header: wide,
      unitIndex,
    },
    titles: { count: above.length, first: above.slice(0, SHOWN_ROWS).map(shownRow) },
    ...{ rows: records.length, oddCount: odd.length, oddRows: odd.slice(0, SHOWN_ROWS), columns },
    distinct: distinctOf(records, columns, kind, choices, system),
  };
}

/** The column of the unit numbers; null when none is known. */
export function unitIndexOf(
  columns: readonly ColumnSurvey[],
  kind: SheetKind,
  choices: SheetChoices,
  system: UnitSystem,
): number | null {
  const proposed = proposeColumns(columns, kind, choices.columns, system);
  return proposed.find(({ field }) => field === UNIT_FIELD[kind])?.index ?? null;
}

function distinctOf(
  rows: readonly SheetRow[],
  columns: readonly ColumnSurvey[],
  kind: SheetKind,
  choices: SheetChoices,
  system: UnitSystem,
): SheetAnalysis['distinct'] {
  const found: SheetAnalysis['distinct'] = {};
  for (const { index, field } of proposeColumns(columns, kind, choices.columns, system)) {
    const holds = field === null ? null : fieldOf(kind, field)?.holds;
    const isUnit = field === UNIT_FIELD[kind] || field === 'mountedOn';
    if (field === null || !(isUnit || holds === 'name' || holds === 'word')) continue;
    found[field] = countedIn(rows, index, holds === 'word' ? MOST_WORDS : MOST_NAMES);
  }
  return found;
}

function countedIn(rows: readonly SheetRow[], index: number, most: number): Counted {
  const counts = new Map<string, number>();
  for (const { cells } of rows) {
    const text = textOfCell(cells[index]).trim();
    if (text !== '' && (counts.has(text) || counts.size < most))
      counts.set(text, (counts.get(text) ?? 0) + 1);
  }
  // Built so that no text of a file can be the name of an inherited member.
  return Object.assign(Object.create(null) as Record<string, number>, Object.fromEntries(counts));
}

import { DATE_ORDERS, type DateOrder, dateOrderOf, isDateUnclear, namedDate } from './dates.js';
import { DECIMAL_MARKS, type DecimalMark, decimalMarkOf, numberReadings } from './numbers.js';
import { isEmpty, type SeenCell, type SheetCell, type SheetRow, textOfCell } from './sheet.js';

/** How many different values of a column are shown. */
const SAMPLES = 5;
/** How much of a cell is shown. */
const SHOWN = 80;

/** What the cells of a column say about how it is written. */
export interface Evidence<T extends string> {
  /** The first cell that can be read in one way only, for each way. */
  only: Partial<Record<T, SeenCell>>;
  /** How many cells can be read in several ways, and the first of them. */
  unclear: number;
  firstUnclear: SeenCell | null;
}

/** A cell of a column, as an example. */
export interface Sample extends SeenCell {
  cell: SheetCell;
}

/** What a column holds. */
export interface ColumnSurvey {
  index: number;
  header: string;
  /** How many cells hold something. */
  filled: number;
  texts: number;
  numbers: number;
  dates: number;
  /** Texts that are a number, a date, or look like a VIN. */
  numberTexts: number;
  dateTexts: number;
  vinTexts: number;
  samples: Sample[];
  decimal: Evidence<DecimalMark>;
  dateOrder: Evidence<DateOrder>;
}

/** The form of a VIN (ISO 3779). */
const VIN = /^[A-HJ-NPR-Z0-9]{17}$/i;
const UNIT_BEHIND = /[\s\u00a0]*[\p{L}°.]+$/u;

const noEvidence = <T extends string>(): Evidence<T> => ({ only: {}, unclear: 0, firstUnclear: null });

/** Looks at all cells of a column, whatever the column turns out to be. */
class ColumnWatch {
  readonly survey: ColumnSurvey;
  private readonly seen = new Set<string>();

  constructor(index: number, header: string) {
    this.survey = {
      ...{ index, header, filled: 0, texts: 0, numbers: 0, dates: 0 },
      ...{ numberTexts: 0, dateTexts: 0, vinTexts: 0, samples: [] },
      decimal: noEvidence(),
      dateOrder: noEvidence(),
    };
  }

  see(row: number, cell: SheetCell | undefined): void {
    if (isEmpty(cell)) return;
    const { survey } = this;
    const value = textOfCell(cell).trim().slice(0, SHOWN);
    survey.filled++;
    if (survey.samples.length < SAMPLES && !this.seen.has(value)) {
      this.seen.add(value);
      survey.samples.push({ row, value, cell: typeof cell === 'string' ? value : (cell ?? null) });
    }
    if (typeof cell === 'number') survey.numbers++;
    else if (typeof cell === 'object') survey.dates++;
    else if (typeof cell === 'string') this.seeText(cell.trim(), { row, value });
  }

  private seeText(text: string, place: SeenCell): void {
    const { survey } = this;
    survey.texts++;
    if (!/\d/.test(text)) return;
    if (VIN.test(text)) survey.vinTexts++;
    const number = text.replace(UNIT_BEHIND, '');
    const { point, comma } = numberReadings(number);
    if (point !== null || comma !== null) {
      survey.numberTexts++;
      note(survey.decimal, decimalMarkOf(number), point !== null && comma !== null && point !== comma, place);
      return;
    }
    const order = dateOrderOf(text);
    const isUnclear = isDateUnclear(text);
    if (order !== null || isUnclear || /^\d{4}-\d{2}-\d{2}/.test(text) || namedDate(text) !== null)
      survey.dateTexts++;
    note(survey.dateOrder, order, isUnclear, place);
  }
}

function note<T extends string>(
  evidence: Evidence<T>,
  only: T | null,
  isUnclear: boolean,
  place: SeenCell,
): void {
  if (only !== null) evidence.only[only] ??= place;
  if (!isUnclear) return;
  evidence.unclear++;
  evidence.firstUnclear ??= place;
}

/** Surveys the columns under a header. Columns without a header count as long as they hold something. */
export function surveyColumns(header: readonly string[], rows: Iterable<SheetRow>): ColumnSurvey[] {
  const watches = header.map((text, index) => new ColumnWatch(index, text.slice(0, SHOWN)));
  for (const { row, cells } of rows)
    for (const [index, watch] of watches.entries()) watch.see(row, cells[index]);
  return watches.map(({ survey }) => survey).filter(({ header: text, filled }) => text !== '' || filled > 0);
}

/** The way of writing that the cells of a column prove: null when none does, or both. */
export function provenIn<T extends string>(evidence: Evidence<T>, ways: readonly T[]): T | null {
  const proven = ways.filter((way) => evidence.only[way] !== undefined);
  return proven.length === 1 ? (proven[0] ?? null) : null;
}

/** The decimal mark that the cells prove. */
export const provenMark = ({ decimal }: ColumnSurvey): DecimalMark | null => provenIn(decimal, DECIMAL_MARKS);
/** The order of dates that the cells prove. */
export const provenOrder = ({ dateOrder }: ColumnSurvey): DateOrder | null =>
  provenIn(dateOrder, DATE_ORDERS);

/** Whether the cells leave open how they are written, or contradict one another. */
export function isOpen<T extends string>(evidence: Evidence<T>, ways: readonly T[]): boolean {
  const proven = ways.filter((way) => evidence.only[way] !== undefined).length;
  return proven > 1 || (proven === 0 && evidence.unclear > 0);
}

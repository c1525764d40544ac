import { MEASURES } from '../quantities/measures.js';
import { dimensionOf, unitsOf } from '../quantities/units.js';
import { type Evidence, isOpen } from './column-survey.js';
import { DATE_ORDERS, type DateOrder, dateReadings } from './dates.js';
import { fieldOf, NEEDED, type SheetKind } from './fields.js';
import { message } from './messages.js';
import { DECIMAL_MARKS, type DecimalMark, numberReadings } from './numbers.js';
import type { ProposedColumn } from './propose.js';
import { type Answers, asked, type Option, type Question } from './questions.js';
import { columnName, plainNumber, type SeenCell } from './sheet.js';

const UNIT_BEHIND = /[\s\u00a0]*[\p{L}°.]+$/u;

/** What is doubtful about single columns, and about columns that are missing. */
export function askColumns(
  columns: readonly ProposedColumn[],
  kind: SheetKind,
  answers: Answers,
): Question[] {
  const ofColumns = columns.flatMap((column) => {
    const field = column.field === null ? null : fieldOf(kind, column.field);
    if (field === null) return [];
    if (field.holds === 'number')
      return [...askDecimal(column, columns, answers), ...askUnit(column, kind, answers)];
    return field.holds === 'date' || field.holds === 'instant' ? askOrder(column, columns, answers) : [];
  });
  return [...askMissing(columns, kind, answers), ...ofColumns];
}

function placeOf({ index, survey }: ProposedColumn): { column: string; header: string } {
  return { column: columnName(index), header: survey.header };
}

/** Cells that contradict one another, or the first that can be read in several ways. */
function examplesOf<T extends string>({ only, firstUnclear }: Evidence<T>, ways: readonly T[]): SeenCell[] {
  const proofs = ways.flatMap((way) => only[way] ?? []);
  return proofs.length > 0 ? proofs : firstUnclear === null ? [] : [firstUnclear];
}

/** What the other columns of a file prove. */
function usualOf<T extends string>(ways: (T | null)[]): T | null {
  const known = new Set(ways.filter((way) => way !== null));
  return known.size === 1 ? ([...known][0] ?? null) : null;
}

function askDecimal(column: ProposedColumn, all: readonly ProposedColumn[], answers: Answers): Question[] {
  const { decimal: evidence } = column.survey;
  if (!isOpen(evidence, DECIMAL_MARKS)) return [];
  const examples = examplesOf(evidence, DECIMAL_MARKS);
  const given = (evidence.firstUnclear ?? examples[0])?.value ?? '';
  const readings = numberReadings(given.replace(UNIT_BEHIND, ''));
  const usual = usualOf(all.map(({ decimal }) => decimal));
  const option = (mark: DecimalMark): Option => ({
    option: mark,
    text: message('sheet-option-decimal', { mark, given, value: shownNumber(readings[mark]) }),
    isRecommended: usual === mark,
  });
  const id = `decimal:${columnName(column.index)}`;
  return [
    asked(
      {
        ...{ id, column: columnName(column.index), examples, options: DECIMAL_MARKS.map(option) },
        text: message('sheet-ask-decimal', {
          ...placeOf(column),
          count: evidence.unclear,
          contradicts: isContradiction(evidence, DECIMAL_MARKS),
        }),
      },
      withChosen(answers, id, column.decimal),
    ),
  ];
}

const shownNumber = (value: number | null): string => (value === null ? '?' : plainNumber(value));

function isContradiction<T extends string>({ only }: Evidence<T>, ways: readonly T[]): 'yes' | 'no' {
  return ways.every((way) => only[way] !== undefined) ? 'yes' : 'no';
}

/** A choice for the column counts as the answer to the question about it. */
function withChosen(answers: Answers, id: string, chosen: string | null): Answers {
  return chosen === null ? answers : { ...answers, [id]: { option: chosen, values: {} } };
}

function askOrder(column: ProposedColumn, all: readonly ProposedColumn[], answers: Answers): Question[] {
  const { dateOrder: evidence } = column.survey;
  if (!isOpen(evidence, DATE_ORDERS)) return [];
  const examples = examplesOf(evidence, DATE_ORDERS);
  const given = (evidence.firstUnclear ?? examples[0])?.value ?? '';
  const readings = dateReadings(given);
  const usual = usualOf(all.map(({ dateOrder }) => dateOrder));
  const option = (order: DateOrder): Option => ({
    option: order,
    text: message('sheet-option-date-order', {
      comesFirst: order === 'day-first' ? 'day' : 'month',
      given,
      value: readings?.[order] ?? '?',
    }),
    isRecommended: usual === order,
  });
  const id = `date-order:${columnName(column.index)}`;
  return [
    asked(
      {
        ...{ id, column: columnName(column.index), examples, options: DATE_ORDERS.map(option) },
        text: message('sheet-ask-date-order', {
          ...placeOf(column),
          count: evidence.unclear,
          contradicts: isContradiction(evidence, DATE_ORDERS),
        }),
      },
      withChosen(answers, id, column.dateOrder),
    ),
  ];
}

/** Asks for the unit where no header says it. The fleet's unit counts unless the client says otherwise. */
function askUnit(column: ProposedColumn, kind: SheetKind, answers: Answers): Question[] {
  const measure = column.field === null ? undefined : fieldOf(kind, column.field)?.measure;
  if (measure === undefined || column.unit === null || column.unitBy === 'header') return [];
  const units = unitsOf(dimensionOf(MEASURES[measure].canonical)).filter((unit) =>
    ([MEASURES[measure].us, MEASURES[measure].si] as string[]).includes(unit),
  );
  if (units.length < 2) return [];
  const id = `unit:${columnName(column.index)}`;
  const options = units.map((unit) => ({
    option: unit,
    text: message('sheet-option-unit', { unit }),
    isRecommended: unit === column.unit,
  }));
  const text = message('sheet-ask-unit', { ...placeOf(column), unit: column.unit });
  return [asked({ id, column: columnName(column.index), text, options, isRequired: false }, answers)];
}

/** Asks for the column of each field without which no row can be taken. */
function askMissing(columns: readonly ProposedColumn[], kind: SheetKind, answers: Answers): Question[] {
  const found = new Set(columns.flatMap(({ field }) => field ?? []));
  const free = columns.filter(({ field }) => field === null);
  return NEEDED[kind]
    .filter((group) => !group.some((name) => found.has(name)))
    .map((group) =>
      asked(
        {
          id: `missing:${group[0]}`,
          text: message('sheet-ask-missing', {
            fields: group.map((name) => message('sheet-field', { field: name })),
          }),
          options: free.slice(0, 50).map((column) => ({
            option: columnName(column.index),
            text: message('sheet-option-column', placeOf(column)),
            isRecommended: false,
          })),
          examples: [],
        },
        answers,
      ),
    );
}

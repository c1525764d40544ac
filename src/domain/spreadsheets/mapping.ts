import type { UnitSystem } from '../quantities/measures.js';
import { isUnit } from '../quantities/units.js';
import type { SheetAnalysis, SheetChoices } from './analyse.js';
import { askColumns } from './ask-columns.js';
import { askOddRows, askValues, type SheetFacts } from './ask-values.js';
import { DATE_ORDERS } from './dates.js';
import { fieldOf, SHEET_KINDS, type SheetKind, UNIT_FIELD } from './fields.js';
import { kindTerm } from './kind-term.js';
import { message } from './messages.js';
import { DECIMAL_MARKS } from './numbers.js';
import { type ColumnChoice, type ProposedColumn, proposeColumns } from './propose.js';
import { type Answers, answerTo, asked, type Question } from './questions.js';
import type { ColumnReading } from './sheet.js';

/** A sheet of a file, and how many rows it has. */
export interface SheetName {
  name: string;
  rows: number;
}

/** Everything that a client can decide about a file. */
export interface Choices extends SheetChoices {
  sheet: string | null;
  answers: Answers;
}

export const NO_CHOICES: Choices = { kind: null, sheet: null, headerRow: null, columns: {}, answers: {} };

/** How a file is understood, and what is doubtful about it. */
export interface Understanding {
  kind: SheetKind;
  columns: ProposedColumn[];
  questions: Question[];
}

/** The choices of the columns, with what answers to questions say about them. */
export function columnChoices({ columns, answers, kind }: Choices): Record<string, ColumnChoice> {
  const choices: Record<string, ColumnChoice> = { ...columns };
  for (const [id, { option }] of Object.entries(answers)) {
    const [what = '', which = ''] = id.split(':', 2);
    if (option === null) continue;
    const add = (column: string, choice: ColumnChoice): void => {
      choices[column] = { ...choice, ...choices[column] };
    };
    if (what === 'decimal') add(which, { decimal: DECIMAL_MARKS.find((mark) => mark === option) ?? null });
    if (what === 'date-order')
      add(which, { dateOrder: DATE_ORDERS.find((order) => order === option) ?? null });
    if (what === 'unit' && isUnit(option)) add(which, { unit: option });
    const field =
      what === 'missing'
        ? (kindsOf(kind)
            .map((each) => fieldOf(each, which))
            .find(Boolean) ?? null)
        : null;
    if (field) add(option, { field: field.name });
  }
  return choices;
}

const kindsOf = (kind: SheetKind | null): readonly SheetKind[] => (kind === null ? SHEET_KINDS : [kind]);

/** Understands a file as far as its content, the fleet's records and the client's choices allow. */
export function understand(
  { analysis, sheets, facts }: { analysis: SheetAnalysis; sheets: readonly SheetName[]; facts: SheetFacts },
  choices: Choices,
  system: UnitSystem,
): Understanding {
  const { kind } = analysis;
  const columns = proposeColumns(analysis.columns, kind, columnChoices(choices), system);
  const { answers } = choices;
  return {
    ...{ kind, columns },
    questions: [
      ...askSheet(sheets, choices),
      ...askKind(analysis, choices),
      ...askColumns(columns, kind, answers),
      ...askValues(facts, answers),
      ...askOddRows(analysis, answers),
    ],
  };
}

function askSheet(sheets: readonly SheetName[], { sheet, answers }: Choices): Question[] {
  const filled = sheets.filter(({ rows }) => rows > 1);
  if (filled.length < 2) return [];
  const most = Math.max(...filled.map(({ rows }) => rows));
  const options = filled.map(({ name, rows }) => ({
    option: name,
    text: message('sheet-option-sheet', { name, rows }),
    isRecommended: rows === most,
  }));
  const given = sheet === null ? answers : { ...answers, sheet: { option: sheet, values: {} } };
  return [asked({ id: 'sheet', text: message('sheet-ask-sheet', { count: filled.length }), options }, given)];
}

function askKind({ kind, isKindOpen, kinds }: SheetAnalysis, { kind: chosen, answers }: Choices): Question[] {
  if (!isKindOpen && chosen === null) return [];
  const options = kinds.map((guess) => ({
    option: guess.kind,
    text: kindTerm(guess.kind),
    isRecommended: guess.kind === kinds[0]?.kind,
  }));
  const given = chosen === null ? answers : { ...answers, kind: { option: chosen, values: {} } };
  const text = message('sheet-ask-kind', { kind: kindTerm(kind) });
  return [asked({ id: 'kind', text, options, isRequired: isKindOpen }, given)];
}

/** The columns that are read. */
export function readColumns(columns: readonly ProposedColumn[]): ColumnReading[] {
  return columns.flatMap(({ field, index, unit, decimal, dateOrder }) =>
    field === null ? [] : [{ field, index, unit, decimal, dateOrder }],
  );
}

/** The full lists behind the facts, which decide what is read in place of a text. */
export interface FullFacts {
  alike: readonly { given: string; use: string }[];
  names: Readonly<Record<string, readonly string[]>>;
  words: Readonly<Record<string, readonly { given: string; use: string | null }[]>>;
}

type Replaced = Record<string, Record<string, string>>;

/** What is read in place of each text, by the answers. */
export function replacements(
  { alike, names, words }: FullFacts,
  kind: SheetKind,
  answers: Answers,
): Replaced {
  const replaced: Replaced = {};
  const add = (field: string, given: string, use: string): void => {
    replaced[field] ??= Object.create(null) as Record<string, string>;
    replaced[field][given] = use;
  };
  const same = answerTo(answers, 'units:alike');
  for (const { given, use } of alike) {
    const meant = same.values[given] ?? (same.option === 'same' ? use : null);
    for (const field of [UNIT_FIELD[kind], 'mountedOn']) if (meant !== null) add(field, given, meant);
  }
  for (const [field, unknown] of Object.entries(names)) {
    const { option, values } = answerTo(answers, `names:${field}`);
    for (const given of unknown) {
      const use = values[given] ?? (option === 'leave-empty' ? '' : null);
      if (use !== null) add(field, given, use);
    }
  }
  for (const [field, strange] of Object.entries(words)) {
    const { option, values } = answerTo(answers, `words:${field}`);
    for (const { given, use } of strange) {
      const meant = values[given] ?? (option === 'refuse' ? null : use);
      if (meant !== null) add(field, given, meant);
    }
  }
  return replaced;
}

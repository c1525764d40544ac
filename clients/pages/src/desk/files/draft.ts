import { ProblemError } from '../../../../typescript/src/faults.js';
import type { components } from '../../../../typescript/src/client.js';
import type { Question, SheetColumn } from './file-types.js';

type MappingInput = Partial<components['schemas']['MappingInput']>;
type ColumnChange = Pick<
  components['schemas']['ColumnChoiceInput'],
  'field' | 'unit' | 'decimal' | 'dateOrder'
>;

interface AnswerChange {
  option?: string;
  values?: Readonly<Record<string, string>>;
}

/** What was changed on the page and not yet sent: by column, and by question. */
export interface Draft {
  columns: Readonly<Record<string, ColumnChange>>;
  answers: Readonly<Record<string, AnswerChange>>;
}

export const NO_CHANGE: Draft = { columns: {}, answers: {} };

export const isChanged = ({ columns, answers }: Draft): boolean =>
  Object.keys(columns).length + Object.keys(answers).length > 0;

export const withColumn = (draft: Draft, column: string, change: ColumnChange): Draft => ({
  ...draft,
  columns: { ...draft.columns, [column]: { ...draft.columns[column], ...change } },
});

export const withOption = (draft: Draft, question: string, option: string): Draft => ({
  ...draft,
  answers: { ...draft.answers, [question]: { ...draft.answers[question], option } },
});

export function withValue(draft: Draft, question: string, given: string, use: string): Draft {
  const before = draft.answers[question];
  const values = { ...before?.values, [given]: use };
  return { ...draft, answers: { ...draft.answers, [question]: { ...before, values } } };
}

/** The option that counts for a question: as changed here, else as the service has it. */
export const chosenOption = ({ answers }: Draft, { id, answer }: Question): string | null =>
  answers[id]?.option ?? answer;

/** Whether a question keeps the file from being taken, with what was answered here. */
export function isOpen(draft: Draft, question: Question): boolean {
  return question.isRequired && chosenOption(draft, question) === null;
}

/** What a column is, with what was changed here. */
export const columnNow = ({ columns }: Draft, column: SheetColumn) => ({
  ...{ field: column.field, unit: column.unit, decimal: column.decimal, dateOrder: column.dateOrder },
  ...columns[column.column],
});

/** What is sent. The places in it are those that faults point to. */
export function mappingOf({ columns, answers }: Draft): MappingInput {
  return {
    columns: Object.entries(columns).map(([column, change]) => ({ column, ...change })),
    answers: Object.entries(answers).map(([question, { option, values }]) => ({
      question,
      ...(option !== undefined && { option }),
      values: Object.entries(values ?? {}).map(([given, use]) => ({ given, use })),
    })),
  };
}

/** What a problem says of a column or a question, in the service's words. */
export function faultsAbout(
  problem: unknown,
  { columns, answers }: Draft,
  of: { column: string } | { question: string },
): string[] {
  if (!(problem instanceof ProblemError)) return [];
  const place =
    'column' in of ? Object.keys(columns).indexOf(of.column) : Object.keys(answers).indexOf(of.question);
  if (place < 0) return [];
  const start = `/${'column' in of ? 'columns' : 'answers'}/${place}/`;
  return (problem.problem.errors ?? [])
    .filter(({ pointer }) => pointer?.startsWith(start))
    .map(({ detail }) => detail);
}

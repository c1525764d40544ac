import { MEASURES } from '../../domain/quantities/measures.js';
import { dimensionOf, unitsOf } from '../../domain/quantities/units.js';
import { FIELDS, fieldOf, type SheetKind } from '../../domain/spreadsheets/fields.js';
import type { Choices } from '../../domain/spreadsheets/mapping.js';
import type { ColumnChoice } from '../../domain/spreadsheets/propose.js';
import { answerTo, type Question } from '../../domain/spreadsheets/questions.js';
import { columnIndex, columnName } from '../../domain/spreadsheets/sheet.js';
import { SHEET_KINDS } from '../../domain/spreadsheets/fields.js';
import type { Spreadsheet } from '../../entities/spreadsheet.entity.js';
import { type FieldFault, unacceptable } from '../../platform/problems/problem.js';
import { message } from './messages.js';
import type { AnswerInput, ColumnChoiceInput, MappingInput } from './spreadsheet.dto.js';

const MOST_NAMED = 12;
const some = (names: readonly string[]): string[] => names.slice(0, MOST_NAMED);

/**
 * The choices after a change. Another sheet or header row makes earlier choices of columns void,
 * another kind those of fields.
 *
 * @param questions as they are before the change
 * @throws Problem 422 when a column, field, question or option does not exist
 */
export function changedChoices(
  sheet: Spreadsheet,
  input: MappingInput,
  questions: readonly Question[],
): Choices {
  const faults: FieldFault[] = [];
  const { choices, analysis } = sheet;
  const asked = new Map(input.answers?.map((answer) => [answer.question, answer.option ?? null]));
  const name = input.sheet ?? asked.get('sheet') ?? choices.sheet;
  const kind = input.kind ?? SHEET_KINDS.find((each) => each === asked.get('kind')) ?? choices.kind;
  const headerRow = input.headerRow === undefined ? choices.headerRow : input.headerRow;
  const known = sheet.sheets.map((each) => each.name);
  const isOther = name !== null && name !== sheet.sheet;
  if (name !== null && !known.includes(name))
    faults.push({
      pointer: '/sheet',
      detail: message('sheet-no-such-sheet', { given: name, known: some(known) }),
    });
  const isAnew = isOther || (headerRow !== null && headerRow !== analysis.headerRow);
  const isOtherKind = kind !== null && kind !== analysis.kind;
  const changed: Choices = {
    ...{ kind, headerRow, sheet: name },
    columns: isAnew ? {} : isOtherKind ? withoutFields(choices.columns) : choices.columns,
    answers: isAnew ? {} : choices.answers,
  };
  const columns = withColumns(
    changed,
    input.columns ?? [],
    kind ?? analysis.kind,
    isAnew ? null : analysis.header.length,
    faults,
  );
  const answers = withAnswers(changed, input.answers ?? [], isAnew ? [] : questions, faults);
  if (faults.length > 0) throw unacceptable(faults);
  return { ...changed, columns, answers };
}

function withoutFields(columns: Choices['columns']): Choices['columns'] {
  return Object.fromEntries(
    Object.entries(columns).map(([name, { field: _field, ...rest }]) => [name, rest]),
  );
}

function withColumns(
  { columns }: Choices,
  inputs: readonly ColumnChoiceInput[],
  kind: SheetKind,
  width: number | null,
  faults: FieldFault[],
): Choices['columns'] {
  const changed: Record<string, ColumnChoice> = { ...columns };
  for (const [place, input] of inputs.entries()) {
    const pointer = (field: string): string => `/columns/${place}/${field}`;
    const index = columnIndex(input.column);
    if (index === null || index >= (width ?? 200)) {
      const last = columnName((width ?? 200) - 1);
      faults.push({
        pointer: pointer('column'),
        detail: message('sheet-no-such-column', { given: input.column, last }),
      });
      continue;
    }
    const { field: given, unit, decimal, dateOrder } = input;
    const field = given == null ? null : fieldOf(kind, given);
    if (given != null && field === null) {
      const fields = FIELDS[kind].map(({ name }) => name);
      faults.push({
        pointer: pointer('field'),
        detail: message('sheet-no-such-field', { given, known: fields }),
      });
      continue;
    }
    const fault = unitFault(unit ?? null, field?.measure);
    if (fault) faults.push({ pointer: pointer('unit'), detail: fault });
    const name = columnName(index);
    // A field belongs to one column: whoever gives it to another takes it from the first.
    if (field !== null)
      for (const [other, choice] of Object.entries(changed))
        if (choice.field === field.name && other !== name) changed[other] = { ...choice, field: null };
    changed[name] = {
      ...changed[name],
      ...(given === undefined ? {} : { field: field?.name ?? null }),
      ...(unit === undefined ? {} : { unit }),
      ...(decimal === undefined ? {} : { decimal }),
      ...(dateOrder === undefined ? {} : { dateOrder }),
    };
  }
  return changed;
}

function unitFault(unit: string | null, measure: keyof typeof MEASURES | undefined) {
  if (unit === null || measure === undefined) return null;
  const accepted = unitsOf(dimensionOf(MEASURES[measure].canonical));
  return accepted.some((each) => each === unit)
    ? null
    : message('sheet-unit-not-of-field', { given: unit, accepted });
}

function withAnswers(
  { answers }: Choices,
  inputs: readonly AnswerInput[],
  questions: readonly Question[],
  faults: FieldFault[],
): Choices['answers'] {
  const changed: Record<string, { option: string | null; values: Record<string, string> }> =
    Object.fromEntries(
      Object.entries(answers).map(([id, answer]) => [id, { ...answer, values: { ...answer.values } }]),
    );
  for (const [place, { question: id, option, values }] of inputs.entries()) {
    const question = questions.find((each) => each.id === id);
    if (question === undefined) {
      const known = some(questions.map((each) => each.id));
      faults.push({
        pointer: `/answers/${place}/question`,
        detail: message('sheet-no-such-question', { given: id, known }),
      });
      continue;
    }
    const options = question.options.map((each) => each.option);
    if (option != null && !options.includes(option)) {
      const detail = message('sheet-no-such-option', { given: option, known: some(options) });
      faults.push({ pointer: `/answers/${place}/option`, detail });
      continue;
    }
    if (id === 'sheet' || id === 'kind') continue;
    const before = answerTo(answers, id);
    changed[id] = {
      option: option === undefined ? before.option : option,
      values: {
        ...before.values,
        ...Object.fromEntries((values ?? []).map(({ given, use }) => [given, use])),
      },
    };
  }
  return changed;
}

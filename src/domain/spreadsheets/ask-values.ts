import { ODDITIES } from './odd-rows.js';
import type { SheetAnalysis } from './analyse.js';
import { message } from './messages.js';
import {
  type Answers,
  answerTo,
  asked,
  type Option,
  type Question,
  type QuestionValue,
} from './questions.js';
import type { FieldName } from './fields.js';

/** The fields that name other records. */
export const NAME_FIELDS = ['depot', 'specSheet', 'intervalPlan'] as const;
export type NameField = (typeof NAME_FIELDS)[number];

/** The first of some doubtful texts, and how many there are. */
export interface FirstOf<T> {
  count: number;
  first: readonly T[];
}

/** What a file says of the fleet's records, and does not agree with them. */
export interface SheetFacts {
  /** Unit numbers that are almost others. */
  alike: FirstOf<QuestionValue>;
  /** Names that no record of the fleet has. */
  names: Partial<Record<NameField, FirstOf<QuestionValue>>>;
  words: Partial<Record<FieldName, FirstOf<QuestionValue>>>;
  /** Unit numbers that no vehicle of the fleet has. */
  unknownUnits: FirstOf<string>;
}

const REFUSE = (isRecommended = false): Option => ({
  option: 'refuse',
  text: message('sheet-option-refuse'),
  isRecommended,
});

/** How many values a question shows. The answer counts for all of them. */
export const MOST_VALUES = 200;

/** The first of many, as they are kept. */
export function firstOf<T>(all: readonly T[]): FirstOf<T> {
  return { count: all.length, first: all.slice(0, MOST_VALUES) };
}

const shown = ({ count, first }: FirstOf<QuestionValue>) => ({
  values: [...first],
  valuesLeftOut: count - first.length,
});

/** What is doubtful about the texts of a file. */
export function askValues(facts: SheetFacts, answers: Answers): Question[] {
  return [
    ...askAlike(facts.alike, answers),
    ...NAME_FIELDS.flatMap((field) => askNames(field, facts.names[field], answers)),
    ...Object.entries(facts.words).flatMap(([field, strange]) =>
      askWords(field as FieldName, strange, answers),
    ),
  ];
}

/** One question for all unknown names of a field, however many they are. */
function askNames(
  field: NameField,
  unknown: FirstOf<QuestionValue> | undefined,
  answers: Answers,
): Question[] {
  if (!unknown?.count) return [];
  const { count } = unknown;
  const make: Option = {
    option: 'make',
    text: message('sheet-option-make', { count }),
    isRecommended: true,
  };
  const leave: Option = {
    option: 'leave-empty',
    text: message('sheet-option-leave-empty'),
    isRecommended: field !== 'depot',
  };
  return [
    asked(
      {
        id: `names:${field}`,
        text: message('sheet-ask-names', { what: field, count }),
        options: [...(field === 'depot' ? [make] : []), leave, REFUSE()],
        ...shown(unknown),
      },
      answers,
    ),
  ];
}

/** What was proposed is shown whatever was answered. */
const alikeShown = (value: QuestionValue, isOther: boolean): QuestionValue => ({
  ...value,
  nearest: value.use,
  use: isOther ? value.given : value.use,
});

/** Asks whether unit numbers that are almost the same are one vehicle. */
function askAlike(alike: FirstOf<QuestionValue>, answers: Answers): Question[] {
  if (alike.count === 0) return [];
  const isOther = answerTo(answers, 'units:alike').option === 'different';
  return [
    asked(
      {
        id: 'units:alike',
        text: message('sheet-ask-alike-units', { count: alike.count }),
        options: [
          { option: 'same', text: message('sheet-option-same-units'), isRecommended: true },
          { option: 'different', text: message('sheet-option-other-units'), isRecommended: false },
        ],
        ...shown({ ...alike, first: alike.first.map((value) => alikeShown(value, isOther)) }),
      },
      answers,
    ),
  ];
}

/** Asks for the meaning of words that are not in the list of a field. */
function askWords(field: FieldName, strange: FirstOf<QuestionValue>, answers: Answers): Question[] {
  if (strange.count === 0) return [];
  return [
    asked(
      {
        id: `words:${field}`,
        text: message('sheet-ask-words', { field: message('sheet-field', { field }), count: strange.count }),
        options: [
          { option: 'as-proposed', text: message('sheet-option-as-proposed'), isRecommended: true },
          REFUSE(),
        ],
        ...shown(strange),
      },
      answers,
    ),
  ];
}

const ODD = Object.fromEntries(ODDITIES.map((why) => [why, message(`sheet-odd-${why}`)]));

/** Says which rows are left out because they are probably no records. */
export function askOddRows({ oddCount, oddRows }: SheetAnalysis, answers: Answers): Question[] {
  if (oddCount === 0) return [];
  return [
    asked(
      {
        id: 'rows:odd',
        isRequired: false,
        text: message('sheet-ask-odd-rows', { count: oddCount }),
        options: [
          { option: 'leave-out', text: message('sheet-option-leave-out'), isRecommended: true },
          { option: 'take', text: message('sheet-option-take'), isRecommended: false },
        ],
        examples: oddRows.map(({ row, value, why }) => ({ row, value, why: ODD[why] })),
      },
      answers,
    ),
  ];
}

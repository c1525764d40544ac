import type { Message } from '../message.js';
import type { SeenCell } from './sheet.js';

/** A cell or row that shows what a question is about, and why it is doubtful. */
export interface Example extends SeenCell {
  why?: Message;
}

/** One of the answers to a question. */
export interface Option {
  option: string;
  text: Message;
  isRecommended: boolean;
}

/** A text of the file that a question is about, and what is read in its place. */
export interface QuestionValue {
  given: string;
  rows: number;
  use: string | null;
  /** A known name that is almost the same. It is not used unless the client says so. */
  nearest?: string | null;
}

/** Something about a file that the client has to decide, or may decide otherwise. */
export interface Question {
  /** Stable for a file: what it asks, and of which column or field. */
  id: string;
  column: string | null;
  /** Whether nothing can be taken before it is answered. */
  isRequired: boolean;
  text: Message;
  options: Option[];
  /** The option that counts. Null: none yet. */
  answer: string | null;
  examples: Example[];
  /** The first of them; the answer counts for all. */
  values: QuestionValue[];
  valuesLeftOut: number;
}

/** What the client answered: an option, and what single texts stand for. */
export interface Answer {
  option: string | null;
  values: Readonly<Record<string, string>>;
}
export type Answers = Readonly<Record<string, Answer>>;

/** The answer to a question so far. */
export function answerTo(answers: Answers, id: string): Answer {
  return (Object.hasOwn(answers, id) ? answers[id] : undefined) ?? { option: null, values: {} };
}

type Asked = Pick<Question, 'id' | 'text' | 'options'> &
  Partial<Pick<Question, 'column' | 'isRequired' | 'examples' | 'values' | 'valuesLeftOut'>>;

/**
 * A question with what the client answered. An optional one counts as answered by the recommended
 * option; an answer that is no option of it counts as none.
 */
export function asked(question: Asked, answers: Answers): Question {
  const { column = null, isRequired = true, examples = [], values = [], valuesLeftOut = 0 } = question;
  const { option, values: given } = answerTo(answers, question.id);
  const isOption = question.options.some((each) => each.option === option);
  const usual = question.options.find(({ isRecommended }) => isRecommended)?.option ?? null;
  return {
    ...{ id: question.id, column, isRequired, text: question.text, options: question.options },
    answer: isOption ? option : isRequired ? null : usual,
    examples,
    values: values.map((value) => ({
      ...value,
      use: Object.hasOwn(given, value.given) ? (given[value.given] ?? null) : value.use,
    })),
    valuesLeftOut,
  };
}

/** Whether a question keeps the file from being taken. */
export const isOpenQuestion = ({ isRequired, answer }: Question): boolean => isRequired && answer === null;

import type { Signal } from '@preact/signals';
import { useDepots } from '../../kit/service/depots.js';
import { tell } from '../../kit/texts/tell.js';
import { chosenOption, type Draft, faultsAbout, isOpen, withOption, withValue } from './draft.js';
import type { Question, SheetFile } from './file-types.js';
import { message } from './messages.js';
import { ValueChoices } from './value-choices.js';

const ALIKE = 'units:alike';

interface Asking {
  file: SheetFile;
  draft: Signal<Draft>;
  problem: unknown;
  /** Whether questions without an answer are pointed out. */
  isMissingShown: boolean;
  /** Sends an answer at once: what follows depends on it. */
  onNow: (change: { kind: SheetFile['kind'] } | { sheet: string }) => void;
}

const isAboutFile = (id: string): boolean => id === 'kind' || id === 'sheet';

function Examples({ examples }: Pick<Question, 'examples'>) {
  if (examples.length === 0) return null;
  return (
    <ul class="dots">
      {examples.map(({ row, value, why }) => (
        <li key={row}>
          {why === null
            ? tell(message('desk-file-example', { row, value }))
            : tell(message('desk-file-example-why', { row, value, why: why.text }))}
        </li>
      ))}
    </ul>
  );
}

function Options({ question, asking }: { question: Question; asking: Asking }) {
  const { draft, onNow, file } = asking;
  const { id } = question;
  const choose = (option: string): void => {
    if (id === 'sheet') return onNow({ sheet: option });
    if (id === 'kind') return onNow({ kind: option as SheetFile['kind'] });
    draft.value = withOption(draft.value, id, option);
  };
  const chosen = isAboutFile(id) ? question.answer : chosenOption(draft.value, question);
  return (
    <>
      {question.options.map(({ option, text, isRecommended }) => (
        <label key={option} class="check option">
          <input
            type="radio"
            name={`${file.id}-${id}`}
            checked={chosen === option}
            onChange={() => choose(option)}
          />
          {isRecommended ? tell(message('desk-file-recommended', { option: text.text })) : text.text}
        </label>
      ))}
    </>
  );
}

/** Each of the unit numbers that are almost the same is a question of its own. */
function Alike({ question, draft }: { question: Question; draft: Signal<Draft> }) {
  const { id, values, answer } = question;
  const typed = draft.value.answers[id]?.values ?? {};
  const useOf = (given: string, use: string | null): string | null =>
    typed[given] ?? (answer === null ? null : use);
  const choose = (given: string, use: string): void => {
    const next = withValue(draft.value, id, given, use);
    const chosen = next.answers[id]?.values ?? {};
    const isComplete = answer !== null || values.every((value) => chosen[value.given] !== undefined);
    // What is not shown stays as it is written.
    draft.value = isComplete ? withOption(next, id, 'different') : next;
  };
  return (
    <>
      {values.map(({ given, rows, use, nearest }) => (
        <fieldset key={given} class="alike">
          <legend>{tell(message('desk-file-alike', { given, rows, nearest: nearest ?? '' }))}</legend>
          {[nearest ?? given, given].map((meant, place) => (
            <label key={meant} class="check option">
              <input
                type="radio"
                name={`alike-${given}`}
                checked={useOf(given, use) === meant}
                onChange={() => choose(given, meant)}
              />
              {place === 0
                ? tell(message('desk-file-alike-same', { nearest: meant }))
                : tell(message('desk-file-alike-other'))}
            </label>
          ))}
        </fieldset>
      ))}
    </>
  );
}

function OneQuestion({ question, asking }: { question: Question; asking: Asking }) {
  const { draft, file, problem, isMissingShown } = asking;
  const { id, text, examples, values, valuesLeftOut } = question;
  const depots = useDepots();
  const isMissing = isMissingShown && isOpen(draft.value, question);
  const faults = faultsAbout(problem, draft.value, { question: id });
  return (
    <fieldset class="question" data-question={id} data-open={isOpen(draft.value, question)}>
      <legend>{text.text}</legend>
      {isMissing && <p class="fault">{tell(message('desk-file-needed'))}</p>}
      {faults.length > 0 && <p class="fault">{faults.join(' ')}</p>}
      <Examples examples={examples} />
      {id === ALIKE ? (
        <Alike {...{ question, draft }} />
      ) : (
        <>
          <Options {...{ question, asking }} />
          {values.length > 0 && (
            <ValueChoices
              {...{ question, draft }}
              words={file.fields.find(({ field }) => id === `words:${field}`)?.words ?? null}
              names={id === 'names:depot' ? depots.map(({ name }) => name) : []}
            />
          )}
        </>
      )}
      {valuesLeftOut > 0 && (
        <p class="faint">{tell(message('desk-file-values-left', { count: valuesLeftOut }))}</p>
      )}
    </fieldset>
  );
}

/** All that is doubtful about a file, each asked once. */
export function Questions(asking: Asking) {
  const { questions } = asking.file;
  return (
    <section aria-labelledby="questions">
      <h2 id="questions">{tell(message('desk-file-questions'))}</h2>
      {questions.length === 0 && <p>{tell(message('desk-file-no-questions'))}</p>}
      {questions.map((question) => (
        <OneQuestion key={question.id} {...{ question, asking }} />
      ))}
    </section>
  );
}

import type { Signal } from '@preact/signals';
import { useId } from 'preact/hooks';
import { tell } from '../../kit/texts/tell.js';
import { type Draft, withValue } from './draft.js';
import type { Question } from './file-types.js';
import { message } from './messages.js';

type Value = Question['values'][number];

function Word({
  value: { given },
  use,
  words,
  onChoose,
}: {
  value: Value;
  use: string;
  words: readonly string[];
  onChoose: (use: string) => void;
}) {
  return (
    <select
      aria-label={tell(message('desk-file-value-use', { given }))}
      value={use}
      onChange={({ currentTarget }) => onChoose(currentTarget.value)}
    >
      {/* A word that stands for none is its own, and its rows are refused. */}
      {!words.includes(use) && <option value={use}>{tell(message('desk-file-value-by-answer'))}</option>}
      {words.map((word) => (
        <option key={word} value={word}>
          {word}
        </option>
      ))}
    </select>
  );
}

function Name({
  value: { given, nearest },
  use,
  list,
  onChoose,
}: {
  value: Value;
  use: string;
  list: string;
  onChoose: (use: string) => void;
}) {
  return (
    <>
      <input
        aria-label={tell(message('desk-file-value-use', { given }))}
        autocomplete="off"
        maxLength={120}
        list={list}
        value={use === given ? '' : use}
        placeholder={tell(message('desk-file-value-by-answer'))}
        onInput={({ currentTarget }) => onChoose(currentTarget.value.trim() || given)}
      />
      {nearest !== null && use !== nearest && (
        <button type="button" class="plain" onClick={() => onChoose(nearest)}>
          {tell(message('desk-file-value-nearest', { nearest }))}
        </button>
      )}
    </>
  );
}

/**
 * The texts that a question is about. Each can be given a meaning of its own, whatever the answer.
 *
 * @param words the words that a text can stand for; null where it is a name
 * @param names that are proposed while a name is typed
 */
export function ValueChoices({
  question: { id, values },
  draft,
  words,
  names,
}: {
  question: Question;
  draft: Signal<Draft>;
  words: readonly string[] | null;
  names: readonly string[];
}) {
  const list = useId();
  const typed = draft.value.answers[id]?.values ?? {};
  return (
    <>
      <ul class="values">
        {values.map((value) => {
          const use = typed[value.given] ?? value.use ?? value.given;
          const choose = (meant: string): void =>
            void (draft.value = withValue(draft.value, id, value.given, meant));
          return (
            <li key={value.given}>
              <span>{tell(message('desk-file-value', { given: value.given, rows: value.rows }))}</span>
              {words === null ? (
                <Name {...{ value, use, list }} onChoose={choose} />
              ) : (
                <Word {...{ value, use, words }} onChoose={choose} />
              )}
            </li>
          );
        })}
      </ul>
      <datalist id={list}>
        {names.map((name) => (
          <option key={name} value={name} />
        ))}
      </datalist>
    </>
  );
}

import { actionTerm, circuitTerm, componentTerm } from '../../domain/intervals/terms.js';
import { ACTIONS, COMPONENTS } from '../../domain/intervals/types.js';
import type { Message } from '../../domain/message.js';
import { wordKey } from '../../domain/spreadsheets/words.js';
import { CIRCUITS } from '../../domain/vehicles/circuits.js';
import { LANGUAGES } from '../../platform/words/languages.js';
import { textOf } from '../../platform/words/render.js';

/** What each language calls some words, by the key under which texts of a file are compared. */
function termsOf<T extends string>(
  words: readonly T[],
  termOf: (word: T) => Message,
): Record<string, string> {
  return Object.fromEntries(
    words.flatMap((word) =>
      LANGUAGES.map((language) => [wordKey(textOf(termOf(word), { language, units: null })), word]),
    ),
  );
}

/** The names of components, actions and circuits in the languages of the service, by field. */
export const TERMS: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  component: termsOf(COMPONENTS, componentTerm),
  action: termsOf(ACTIONS, actionTerm),
  circuit: termsOf(CIRCUITS, circuitTerm),
};

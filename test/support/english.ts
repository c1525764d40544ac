import type { Message } from '../../src/domain/message.js';
import type { UnitSystem } from '../../src/domain/quantities/measures.js';
import type { Evaluation } from '../../src/domain/evaluation/evaluation.js';
import { type Reader, textOf } from '../../src/platform/words/render.js';

const AS_TYPED: Reader = { language: 'en', units: null };

/** Renders words in English, in the units that were typed. */
export function english(words: Message): string {
  return textOf(words, AS_TYPED);
}

/** What something says in English, in a reader's units. */
export function englishIn(units: UnitSystem, words: Message): string {
  return textOf(words, { language: 'en', units });
}

/** An evaluation as an English reader sees it. */
export function inEnglish({ reasons, cautions, basis, ...rest }: Evaluation) {
  return {
    ...rest,
    reasons: reasons.map(english),
    cautions: cautions.map(english),
    basis: basis.map(english),
  };
}

/** Returns the texts in a response of the API. */
export function textsIn(said: readonly (string | { text: string })[]): string[] {
  return said.map((one) => (typeof one === 'string' ? one : one.text));
}

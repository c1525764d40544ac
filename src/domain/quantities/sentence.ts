import { asRead } from './as-read.js';
import { isMeasure, type Measure, type UnitSystem } from './measures.js';

/**
 * A sentence whose quantities are told in the reader's units. It is kept with its measures, and put
 * into words when it is shown: one fleet's `0.6 L` is
 * another reader's `0.5 qt`.
 */
export interface Sentence {
  /** The words around the measures, one more than there are measures. */
  said: string[];
  measures: Measure[];
}

/**
 * A sentence from a template.
 *
 * @example sentence`${measure('volume', 0.6)} added, not planned` // { said: ['', ' added, not planned'], measures: [0.6 L] }
 */
export function sentence(
  words: TemplateStringsArray,
  ...values: readonly (Measure | Sentence | string | number)[]
): Sentence {
  return values.reduce<Sentence>(
    (before, value, index) => joined(joined(before, asSentence(value)), plainly(words[index + 1] ?? '')),
    plainly(words[0] ?? ''),
  );
}

/** Two sentences as one. @example joined(sentence`a`, sentence`b`).said // ['ab'] */
function joined(left: Sentence, right: Sentence): Sentence {
  const [first = '', ...rest] = right.said;
  return {
    said: [...left.said.slice(0, -1), (left.said.at(-1) ?? '') + first, ...rest],
    measures: [...left.measures, ...right.measures],
  };
}

const plainly = (text: string): Sentence => ({ said: [text], measures: [] });

function asSentence(value: Measure | Sentence | string | number): Sentence {
  if (isMeasure(value)) return { said: ['', ''], measures: [value] };
  return isSentence(value) ? value : plainly(String(value));
}

/** What a client posted may look like one: its words and measures have to fit together. */
export function isSentence(candidate: unknown): candidate is Sentence {
  if (typeof candidate !== 'object' || candidate === null) return false;
  if (!Object.hasOwn(candidate, 'said') || !Object.hasOwn(candidate, 'measures')) return false;
  const { said, measures } = candidate as Record<'said' | 'measures', unknown>;
  return (
    Array.isArray(said) &&
    said.every((words) => typeof words === 'string') &&
    Array.isArray(measures) &&
    measures.every(isMeasure)
  );
}

/**
 * The sentence for a reader. @example inReadersWords(sentence`${measure('volume', 9.5)} lost`,
 * 'us') // '10 qt lost'
 */
export function inReadersWords({ said, measures }: Sentence, units: UnitSystem): string {
  return said
    .map((text, index) => {
      const told = measures[index];
      return told === undefined ? text : text + asRead(told.measure, told.value, units);
    })
    .join('');
}

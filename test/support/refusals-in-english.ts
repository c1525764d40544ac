import type { Evaluation } from '../../src/domain/evaluation/evaluation.js';
import { ImpossibleValue } from '../../src/domain/impossible-value.js';
import { english, inEnglish } from './english.js';

/** A rule whose refusals say in English what its readers see, after the name of the field. */
export function refusingInEnglish<A extends unknown[], R>(rule: (...given: A) => R): (...given: A) => R {
  return (...given) => {
    try {
      return rule(...given);
    } catch (error) {
      if (error instanceof ImpossibleValue) {
        const { field, index, detail } = error;
        error.message = `${index === null ? field : `${field}[${index + 1}]`}: ${english(detail)}`;
      }
      throw error;
    }
  };
}

/** A rule that judges, with its evaluations and its refusals in English. */
export function judgingInEnglish<A extends unknown[]>(judge: (...given: A) => Evaluation) {
  return refusingInEnglish((...given: A) => inEnglish(judge(...given)));
}

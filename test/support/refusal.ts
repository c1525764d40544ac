import { ImpossibleValue } from '../../src/domain/impossible-value.js';
import { english } from './english.js';

/** What a rule refuses as impossible; any other error, and none, fails the test. */
export function refusalOf(work: () => unknown): ImpossibleValue {
  try {
    work();
  } catch (error) {
    if (error instanceof ImpossibleValue) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

/** What a refusal says in English. */
export function refusalText(work: () => unknown): string {
  return english(refusalOf(work).detail);
}

import { ImpossibleValue } from '../../src/domain/impossible-value.js';

/** Returns the refusal of an impossible value. Any other error, or none, fails the test. */
export function refusalOf(work: () => unknown): ImpossibleValue {
  try {
    work();
  } catch (error) {
    if (error instanceof ImpossibleValue) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

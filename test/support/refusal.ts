import { ImpossibleValue } from '../../src/domain/impossible-value.js';

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

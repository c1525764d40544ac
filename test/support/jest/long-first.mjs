import Sequencer from '@jest/test-sequencer';
import { keptDurations, nameOf } from './durations.mjs';

/**
 * Starts the longest test files first, by the durations stored in durations.json. Jest only knows
 * durations from earlier runs on the same machine; in a fresh clone, a long file would start late
 * and the other workers would wait for it.
 */
export default class LongFirst extends Sequencer {
  sort(tests) {
    const durations = keptDurations();
    const duration = ({ path, context }) =>
      durations.get(nameOf(path, context.config.displayName?.name)) ?? 0;
    return super.sort(tests).toSorted((one, other) => duration(other) - duration(one));
  }
}

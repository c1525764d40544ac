import fc from 'fast-check';
import { seed } from './random-seed.mjs';

const isLong = process.env.WEEPHOLE_TEST_LONG === 'true';

// fast-check spends at most this long on shrinking a failing input, then reports it as it is. A
// property that runs out of time before all its runs has failed.
fc.configureGlobal(
  isLong ? { seed } : { seed, interruptAfterTimeLimit: 240_000, markInterruptAsFailure: true },
);

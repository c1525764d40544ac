/**
 * What tests get for `fast-check`: with it, properties draw the same values every time.
 * `PROPERTY_SEED=1234 npm test` draws
 * others.
 */
import fc from '../../node_modules/fast-check/lib/fast-check.js';

const seed = Number(process.env.LONG_SEED ?? process.env.PROPERTY_SEED ?? 20_260_402);
const isLong = process.env.WEEPHOLE_TEST_LONG === 'true';

// A find is made smaller for so long at most, then told as it is. Too few runs in that time are no
// success.
fc.configureGlobal(
  isLong ? { seed } : { seed, interruptAfterTimeLimit: 240_000, markInterruptAsFailure: true },
);

export default fc;
export * from '../../node_modules/fast-check/lib/fast-check.js';

import { keepDurations, nameOf } from './durations.mjs';
import { seed } from './random-seed.mjs';

const SHOWN = 10;

/**
 * Prints the ten slowest files and the seed at the end of a run; `UPDATE_DURATIONS=true` stores the
 * durations.
 */
export default class SlowestFiles {
  onRunComplete(_contexts, { testResults }) {
    const durations = testResults
      .map(({ testFilePath, displayName, perfStats }) => [
        nameOf(testFilePath, displayName?.name),
        perfStats.runtime,
      ])
      .toSorted(([, one], [, other]) => other - one);
    const total = durations.reduce((sum, [, ms]) => sum + ms, 0);
    const lines = durations
      .slice(0, SHOWN)
      .map(([name, ms]) => `${(ms / 1000).toFixed(1).padStart(8)} s  ${name}`);
    process.stderr.write(
      `\nSlowest files, of ${(total / 1000).toFixed(0)} s for all ${durations.length}:\n${lines.join('\n')}\n` +
        `Random values drawn with seed ${seed}; PROPERTY_SEED draws others.\n`,
    );
    if (process.env.UPDATE_DURATIONS === 'true') keepDurations(durations);
  }
}

/**
 * Runs a search with random values: `npm run test:long -- histories --runs 20000 --seed 7`. Reports
 * each finding with the seed and path that reproduce it; the finding then becomes a fixed test.
 */
import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';
import { parseArgs } from 'node:util';

const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: {
    runs: { type: 'string' },
    seed: { type: 'string' },
    path: { type: 'string' },
    from: { type: 'string' },
  },
});
const jest = createRequire(import.meta.url).resolve('jest/bin/jest');
const settings = Object.entries(values).map(([name, value]) => [`LONG_${name.toUpperCase()}`, value]);
const { status } = spawnSync(
  process.execPath,
  [...['--no-warnings', jest, '--testTimeout=86400000'], ...positionals.map((name) => `/${name}`)],
  {
    stdio: 'inherit',
    env: { ...process.env, WEEPHOLE_TEST_LONG: 'true', ...Object.fromEntries(settings) },
  },
);
process.exit(status ?? 1);

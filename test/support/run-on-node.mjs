/**
 * Runs the suite, or the named files, on another Node version. npm carries Node as the package
 * `node`.
 */
import { spawnSync } from 'node:child_process';

const [version = '', ...args] = process.argv.slice(2);
if (!/^\d+(\.\d+){0,2}$/.test(version)) {
  console.error(
    'usage: npm run test:node -- 24 [what Jest takes], such as: npm run test:node -- 20.19 test/domain',
  );
  process.exit(2);
}

const run = spawnSync(
  'npm',
  ['exec', '--yes', `--package=node@${version}`, '--', 'node', 'test/support/run-jest.mjs', ...args],
  { stdio: 'inherit' },
);
process.exit(run.status ?? 1);

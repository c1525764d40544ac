/**
 * Runs the whole suite. Builds first, because some tests start the compiled service. Adds the Redis
 * projects if a Redis is available and the browser project if there is a Chromium, and warns loudly
 * when one is missing.
 */
import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';
import { findChromium } from './chromium.mjs';
import { redisAvailable } from './redis-server.mjs';

function sayLoudly(...lines) {
  const rule = '!'.repeat(100);
  console.warn(`\n${[rule, ...lines.map((line) => `! ${line}`), rule].join('\n')}\n`);
}

const build = spawnSync('npm', ['run', '--silent', 'build'], { stdio: 'inherit' });
if (build.status !== 0) process.exit(build.status ?? 1);

const withRedis = redisAvailable();
if (!withRedis) {
  sayLoudly(
    'No Redis: redis-server is not on the PATH and REDIS_URL is not set.',
    'The tests of the Redis queue are NOT run. Install redis-server, or set REDIS_URL.',
  );
}
const chromium = findChromium();
if (chromium === null) {
  sayLoudly(
    process.env.CHROMIUM_PATH
      ? `No Chromium: CHROMIUM_PATH names ${process.env.CHROMIUM_PATH}, which cannot be run.`
      : 'No Chromium: none is on the PATH or in the usual places, and CHROMIUM_PATH is not set.',
    'The tests of the pages, in a browser and printed, are NOT run. Install chromium, or set CHROMIUM_PATH.',
  );
}

const jest = createRequire(import.meta.url).resolve('jest/bin/jest');
const run = spawnSync(
  process.execPath,
  [
    // Loading the service creates much short-lived garbage; V8's default young generation is 16 MB.
    '--max-semi-space-size=32',
    '--max-old-space-size=6144',
    '--no-warnings',
    jest,
    '--json',
    '--outputFile=test-results.json',
    // Ends tests that are stuck. The time is generous, because a busy machine may be slow.
    '--testTimeout=240000',
    // Three files at a time, because some mostly wait. A worker keeps what it has loaded for all
    // its files, and is replaced if it still grows too large.
    '--maxWorkers=3',
    '--workerIdleMemoryLimit=1500MB',
    ...process.argv.slice(2),
  ],
  {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: {
      ...process.env,
      WEEPHOLE_TEST_WITH_REDIS: String(withRedis),
      WEEPHOLE_TEST_CHROMIUM: chromium ?? '',
    },
  },
);
process.exit(run.status ?? 1);

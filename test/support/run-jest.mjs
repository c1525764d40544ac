/**
 * Runs the whole suite: builds first (some tests start the compiled service), adds the Redis projects wherever a Redis can be
 * had, and says loudly when none can.
 */
import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';
import { redisAvailable } from './redis-server.mjs';

const build = spawnSync('npm', ['run', '--silent', 'build'], { stdio: 'inherit' });
if (build.status !== 0) process.exit(build.status ?? 1);

const withRedis = redisAvailable();
if (!withRedis) {
  const line = '!'.repeat(100);
  console.warn(
    `\n${line}\n! No Redis: redis-server is not on the PATH and REDIS_URL is not set.\n! The tests of the Redis queue are NOT run. Install redis-server, or set REDIS_URL.\n${line}\n`,
  );
}

const jest = createRequire(import.meta.url).resolve('jest/bin/jest');
const run = spawnSync(
  process.execPath,
  [
    '--experimental-vm-modules',
    '--no-warnings',
    jest,
    '--json',
    '--outputFile=test-results.json',
    '--testTimeout=30000',
    ...process.argv.slice(2),
  ],
  {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, WEEPHOLE_TEST_WITH_REDIS: String(withRedis) },
  },
);
process.exit(run.status ?? 1);

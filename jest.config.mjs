/** The language of the terminal decides what commands say; the tests read English. */
for (const name of ['LC_ALL', 'LC_MESSAGES', 'LANG'])
  if (process.env[name]?.startsWith('es')) process.env[name] = 'C.UTF-8';

const shared = {
  // Node loads the modules itself, through test/support/jest/typescript-hooks.mjs.
  transform: {},
  runtime: '<rootDir>/test/support/jest/runtime.cjs',
  testEnvironment: '<rootDir>/test/support/jest/environment.mjs',
  setupFiles: ['<rootDir>/test/support/jest/fast-check-settings.mjs'],
};

const withRedis = process.env.WEEPHOLE_TEST_WITH_REDIS === 'true';

/** The browser that pages are printed with; the tests of them are run wherever there is one. */
const chromium = process.env.WEEPHOLE_TEST_CHROMIUM ?? '';

/** Searches among random values for what the suite's fixed ones do not show: `npm run test:long`. */
const longTests = process.env.WEEPHOLE_TEST_LONG === 'true';

const queueTests = ['<rootDir>/test/**/*.queue.test.ts'];

/**
 * What can differ between the backends runs on Redis as well: what the service asks of its queue, a
 * backend that is away or silent, processes that die or share a queue, counters kept in Redis, and
 * what docker-compose.yml starts. The features run on PostgreSQL alone: they use the queue through
 * what contract.test.ts covers.
 */
const onBothBackends = [
  'contract',
  'main-job',
  'spread-mornings',
  'away-at-start',
  'queue-away',
  'swallowed-connections',
  'worker-gone',
  'faults',
  'told-among-kills',
  'replicas',
  'request-limits',
  'compose',
].map((name) => `<rootDir>/test/**/${name}.queue.test.ts`);

export default {
  globalSetup: '<rootDir>/test/support/jest/global-setup.mjs',
  globalTeardown: '<rootDir>/test/support/jest/global-teardown.mjs',
  testSequencer: '<rootDir>/test/support/jest/long-first.mjs',
  reporters: ['default', '<rootDir>/test/support/jest/slowest-files.mjs'],
  projects: [
    { ...shared, displayName: 'domain', testMatch: ['<rootDir>/test/domain/**/*.test.ts'] },
    {
      ...shared,
      displayName: 'service',
      testMatch: ['<rootDir>/test/**/*.test.ts'],
      testPathIgnorePatterns: [
        '/node_modules/',
        '<rootDir>/test/domain/',
        '\\.queue\\.test\\.ts$',
        '\\.browser\\.test\\.ts$',
        '<rootDir>/test/long/',
      ],
    },
    { ...shared, displayName: 'queue on PostgreSQL', testMatch: queueTests, globals: { QUEUE: 'postgres' } },
    ...(longTests
      ? [{ ...shared, displayName: 'long', testMatch: ['<rootDir>/test/long/**/*.test.ts'] }]
      : []),
    ...(chromium === ''
      ? []
      : [{ ...shared, displayName: 'browser', testMatch: ['<rootDir>/test/**/*.browser.test.ts'] }]),
    ...(withRedis
      ? [{ ...shared, displayName: 'queue on Redis', testMatch: onBothBackends, globals: { QUEUE: 'redis' } }]
      : []),
  ],
};

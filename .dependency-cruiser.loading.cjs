/**
 * What a process loads as it starts, by the imports that remain without types. Whatever `import()`
 * loads later does not count.
 */
const LIGHT_LIBRARIES =
  '^node_modules/(@formatjs/[^/]+|@zip\\.js/zip\\.js|intl-messageformat|pg|qr|uuid|validator)/';

module.exports = {
  forbidden: [
    {
      name: 'commands-load-little',
      comment: 'Operators wait for a command that only sends a few statements, so it loads no framework.',
      severity: 'error',
      from: { path: '^src/commands/(create-fleet|delete-fleet|export-fleet|forget|issue-token)\\.ts$' },
      to: { path: '^node_modules/', pathNot: LIGHT_LIBRARIES, reachable: true },
    },
    {
      name: 'worker-loads-no-api',
      comment: 'Nobody calls a worker, so it loads no routes and nothing that reads or documents requests.',
      severity: 'error',
      from: { path: '^src/main\\.worker\\.ts$' },
      to: {
        path: [
          '\\.(controller|dto|interceptor|guard)\\.ts$',
          '^node_modules/(@fastify/|@nestjs/(platform-fastify|swagger)|class-transformer|class-validator|fastify/)',
        ],
        reachable: true,
      },
    },
    {
      name: 'api-loads-no-worker',
      comment: 'An API without a worker finds no news, delivers nothing and solves no plans.',
      severity: 'error',
      from: { path: '^src/main\\.api\\.ts$' },
      to: {
        path: [
          '^src/(bootstrap\\.worker|worker\\.module)\\.ts$',
          '-work\\.module\\.ts$',
          '^src/telling/reminders/(across-fleets|sweep)/',
          '^src/planning/visit-plans/(milp|plan-solving)',
        ],
        reachable: true,
      },
    },
    {
      name: 'rare-libraries-load-late',
      comment:
        'These libraries are needed only with some settings, and are loaded at start if those are set.',
      severity: 'error',
      from: { path: '^src/main[^/]*\\.ts$' },
      to: { path: '^node_modules/(@aws-sdk/|ioredis/|jose/|nodemailer/)', reachable: true },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    exclude: { dynamic: true },
    tsConfig: { fileName: 'tsconfig.json' },
    tsPreCompilationDeps: false,
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default'],
      extensions: ['.ts', '.js', '.json'],
      mainFields: ['module', 'main'],
    },
  },
};

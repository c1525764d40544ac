/** Allowed imports: main → module → feature → entities → platform → domain, never upwards. */
const FEATURES = '^src/(?!domain/|platform/|commands/|entities/)[^/]+/';

module.exports = {
  forbidden: [
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'domain-is-pure',
      comment:
        'The rules import only one another and the calendar library: no framework, no database, no clock.',
      severity: 'error',
      from: { path: '^src/domain/' },
      to: { pathNot: ['^src/domain/', '^node_modules/temporal-polyfill/'] },
    },
    {
      name: 'domain-folders-have-an-order',
      comment:
        'Each folder of the rules imports only those below it: numbers, then what coolant is, then how a reading is judged.',
      scope: 'folder',
      severity: 'error',
      from: { path: '^src/domain/' },
      to: { circular: true },
    },
    {
      name: 'platform-knows-no-feature',
      severity: 'error',
      from: { path: '^src/platform/' },
      to: { path: [FEATURES, '^src/(entities|commands)/', '^src/[^/]+\\.ts$'] },
    },
    {
      name: 'platform-folders-have-an-order',
      comment: 'DEVELOPERS.md lists the folders in order, with what belongs in each.',
      scope: 'folder',
      severity: 'error',
      from: { path: '^src/platform/' },
      to: { circular: true },
    },
    {
      name: 'features-form-no-cycle',
      comment: 'Code that two features need from each other belongs below both.',
      scope: 'folder',
      severity: 'error',
      from: { path: [FEATURES, '^src/entities'] },
      to: { circular: true },
    },
    {
      name: 'entities-know-no-feature',
      comment: 'Rows refer to one another; only features do something with them.',
      severity: 'error',
      from: { path: '^src/entities/' },
      to: { path: [FEATURES] },
    },
    {
      name: 'features-know-no-main',
      severity: 'error',
      from: { path: [FEATURES, '^src/domain/', '^src/entities/'] },
      to: { path: ['^src/[^/]+\\.ts$', '^src/commands/'] },
    },
    {
      name: 'features-meet-by-service-or-entity',
      comment:
        'A feature uses another through its module, service, entity or named exports, never through its controller.',
      severity: 'error',
      from: { path: '^src/([^/]+/[^/]+)/' },
      to: { path: '\\.controller\\.ts$', pathNot: '^src/$1/' },
    },
    {
      name: 'conclusions-alone-fill-the-outbox',
      comment:
        'A vehicle gets its outbox row where its conclusions are stored, so no kind of fact can forget the reminders.',
      severity: 'error',
      from: { path: '^(src|seeds|bench)/', pathNot: '/conclusions/store/' },
      to: { path: '/outbox/request-sweeps\\.queries\\.ts$' },
    },
    {
      name: 'only-the-sweep-sees-across-fleets',
      severity: 'error',
      from: {
        pathNot:
          '^src/telling/reminders/(reminder-work\\.module|sweep/(fleet-schedule|daily-routines)|across-fleets/(backlog-figures|trouble-(watch\\.service|figures)))\\.ts$',
      },
      to: { path: '^src/telling/reminders/across-fleets/cross-fleet-database\\.ts$' },
    },
    {
      name: 'migrations-stand-alone',
      comment: 'A migration must still do the same in ten years, so it imports no code that changes.',
      severity: 'error',
      from: { path: '^migrations/', pathNot: '^migrations/all\\.ts$' },
      to: { path: '^src/' },
    },
    {
      name: 'client-stands-alone',
      comment:
        'The client also runs in browsers, with nothing installed. It knows the service only through the API document.',
      severity: 'error',
      from: { path: '^clients/typescript/src/' },
      to: { pathNot: '^clients/typescript/src/' },
    },
    {
      name: 'service-knows-no-client',
      severity: 'error',
      from: { path: '^(src|migrations|seeds|bench)/' },
      to: { path: '^clients/' },
    },
    {
      name: 'pages-know-client-and-rules',
      comment:
        'The pages run in browsers: they use the client, the rules, and what puts messages into words. Nothing else of the service runs there.',
      severity: 'error',
      from: { path: '^clients/pages/' },
      to: { path: '^(src|migrations|seeds|bench)/', pathNot: '^src/(domain|platform/words)/' },
    },
    {
      name: 'kit-knows-no-page',
      severity: 'error',
      from: { path: '^clients/pages/src/kit/' },
      to: { path: '^clients/pages/src/', pathNot: '^clients/pages/src/kit/' },
    },
    {
      name: 'pages-stand-side-by-side',
      comment: 'What two pages share is in the kit.',
      severity: 'error',
      from: { path: '^clients/pages/src/([^/]+)/', pathNot: '^clients/pages/src/kit/' },
      to: { path: '^clients/pages/src/', pathNot: '^clients/pages/src/(kit|$1)/' },
    },
    {
      name: 'nothing-unresolved',
      severity: 'error',
      from: {},
      // The texts of the pages are made when they are built.
      to: { couldNotResolve: true, pathNot: '^texts:' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsConfig: { fileName: 'tsconfig.json' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default'],
      extensions: ['.ts', '.tsx', '.js', '.json'],
      mainFields: ['module', 'main'],
    },
  },
};

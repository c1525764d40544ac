const transform = {
  '^.+\\.ts$': [
    '@swc/jest',
    {
      jsc: {
        target: 'es2022',
        parser: { syntax: 'typescript', decorators: true },
        transform: { legacyDecorator: true, decoratorMetadata: true, useDefineForClassFields: false },
      },
      module: { type: 'es6' },
      sourceMaps: 'inline',
    },
  ],
};

const shared = {
  transform,
  extensionsToTreatAsEsm: ['.ts'],
  moduleNameMapper: { '^(\\.{1,2}/.*)\\.js$': '$1' },
  testEnvironment: 'node',
};

export default {
  testTimeout: 30_000,
  projects: [
    { ...shared, displayName: 'domain', testMatch: ['<rootDir>/test/domain/**/*.test.ts'] },
  ],
};

import { ModuleMocker } from 'jest-mock';

/** What test/support/shared-service.ts keeps from file to file, once a file has loaded it. */
const sharedService = () => globalThis[Symbol.for('weephole.sharedService')];

/** Jest gives a worker process half a second to end, then kills it and says that tests leak. */
const END_WITHIN_MS = 400;

// A worker process stops listening to Jest when Jest needs it no more.
process.on('removeListener', (event) => {
  if (event !== 'message' || process.listenerCount(event) > 0) return;
  const late = setTimeout(() => process.exit(), END_WITHIN_MS);
  void Promise.resolve(sharedService()?.close()).finally(() => clearTimeout(late));
});

/**
 * Runs test files in the global scope of the worker process, without a `vm` context of their own,
 * so that Node loads the service once per worker. After each file it undoes what the file changed
 * in the environment variables and by `jest.spyOn`. A file that has not stopped its service fails.
 */
export default class NativeEnvironment {
  global = globalThis;
  moduleMocker = new ModuleMocker(globalThis);
  fakeTimers = null;
  fakeTimersModern = null;

  constructor({ projectConfig }) {
    this.projectGlobals = projectConfig.globals;
    this.before = {
      ...{ console, env: process.env, variables: { ...process.env } },
      // Jest wraps it for each file.
      exit: Object.getOwnPropertyDescriptor(process, 'exit'),
    };
  }

  async setup() {
    // Jest has just installed its own mapping of stack traces. Node's reads the maps of our hooks.
    Error.prepareStackTrace = undefined;
    Object.assign(globalThis, this.projectGlobals, { jest: this.moduleMocker });
  }

  async teardown() {
    this.moduleMocker.restoreAllMocks();
    for (const name of Object.keys(this.projectGlobals)) delete globalThis[name];
    const { env, variables, exit } = this.before;
    for (const name of Object.keys(env)) if (!(name in variables)) delete env[name];
    Object.assign(env, variables);
    process.env = env;
    Object.defineProperty(process, 'exit', exit);
    globalThis.console = this.before.console;
    await sharedService()?.assertStopped();
  }

  /** Jest asks for this before it runs code in a `vm` context, which this environment lacks. */
  getVmContext() {
    return null;
  }
}

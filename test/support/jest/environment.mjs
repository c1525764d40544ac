import { ModuleMocker } from 'jest-mock';

/**
 * The state that test/support/shared-service.ts keeps from file to file, once a file has loaded it.
 */
const sharedService = () => globalThis[Symbol.for('weephole.sharedService')];

// A worker process stops listening to Jest when Jest no longer needs it. The shared service would
// keep the process alive, so it exits here; its database goes with the server of the run.
process.on('removeListener', (event) => {
  if (event === 'message' && process.listenerCount(event) === 0) process.exit();
});

/**
 * Runs test files in the global scope of the worker process, without a `vm` context of their own,
 * so that Node loads the service once per worker. After each file, undoes its changes to
 * environment variables and its `jest.spyOn` calls. A file that has not stopped its service fails,
 * unless one of its tests has failed; then only that is reported.
 */
export default class NativeEnvironment {
  global = globalThis;
  moduleMocker = new ModuleMocker(globalThis);
  fakeTimers = null;
  fakeTimersModern = null;
  hasFailed = false;

  constructor({ projectConfig }) {
    this.projectGlobals = projectConfig.globals;
    this.before = {
      ...{ console, env: process.env, variables: { ...process.env } },
      // Jest wraps it for each file.
      exit: Object.getOwnPropertyDescriptor(process, 'exit'),
    };
  }

  async setup() {
    // Jest has just installed its own mapping of stack traces, but Node's reads the source maps of
    // our hooks.
    Error.prepareStackTrace = undefined;
    Object.assign(globalThis, this.projectGlobals, { jest: this.moduleMocker });
  }

  handleTestEvent({ name, test }) {
    if (name === 'hook_failure' || name === 'error') this.hasFailed = true;
    if (name === 'test_done' && test.errors.length > 0) this.hasFailed = true;
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
    const wasLeft = await sharedService()?.closeIfTaken();
    if (wasLeft && !this.hasFailed) throw new Error('the tests did not stop their service');
  }

  /**
   * Jest asks for this before it runs code in a `vm` context, which this environment does not have.
   */
  getVmContext() {
    return null;
  }
}

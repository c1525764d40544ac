import { ModuleMocker } from 'jest-mock';

/**
 * Runs test files in the global scope of the worker process, without a `vm` context of their own,
 * so that Node loads the service once per worker. After each file it undoes what the file changed
 * in the environment variables and by `jest.spyOn`.
 */
export default class NativeEnvironment {
  global = globalThis;
  moduleMocker = new ModuleMocker(globalThis);
  fakeTimers = null;
  fakeTimersModern = null;

  constructor({ projectConfig }) {
    this.projectGlobals = projectConfig.globals;
    this.before = { env: process.env, variables: { ...process.env }, exit: process.exit, console };
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
    Object.assign(process, { env, exit });
    globalThis.console = this.before.console;
  }

  /** Jest asks for this before it runs code in a `vm` context, which this environment lacks. */
  getVmContext() {
    return null;
  }
}

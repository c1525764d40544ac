const { register } = require('node:module');
const { pathToFileURL } = require('node:url');

register('./typescript-hooks.mjs', pathToFileURL(__filename));
process.setSourceMapsEnabled(true);

/** The state that Jest's test framework keeps in the global scope. */
const FRAMEWORK_STATE = new Set(['JEST_STATE_SYMBOL', 'EVENT_HANDLERS']);

let filesLoaded = 0;

/**
 * Replaces jest-runtime. Node loads modules itself and keeps them for the next file in the same
 * worker; only test files and the test framework are loaded anew.
 */
module.exports = class NativeRuntime {
  #testPath;

  constructor(_config, _environment, _resolver, _transformer, _cacheFS, _coverage, testPath) {
    this.#testPath = testPath;
  }

  async unstable_importModule(path) {
    const url = pathToFileURL(path);
    // The queue files run once per backend, perhaps in the same worker, so each run needs its own
    // URL.
    if (path === this.#testPath) url.search = `run=${++filesLoaded}`;
    await import(url.href);
  }

  unstable_shouldLoadAsEsm() {
    return true;
  }

  requireModule(path) {
    return require(path);
  }

  requireInternalModule(path) {
    for (const symbol of Object.getOwnPropertySymbols(globalThis))
      if (FRAMEWORK_STATE.has(symbol.description)) delete globalThis[symbol];
    delete require.cache[path];
    return require(path);
  }

  getSourceMaps() {
    return new Map();
  }

  getAllCoverageInfoCopy() {
    return undefined;
  }

  setGlobalsForRuntime() {}
  enterTestCode() {}
  leaveTestCode() {}
  teardown() {}
};

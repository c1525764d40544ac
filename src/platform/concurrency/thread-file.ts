import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/**
 * The file that a thread runs, as the build leaves it: beside its caller, and in `dist/` while
 * tests run the caller uncompiled.
 *
 * @param caller its `import.meta.url`
 * @param path from there, such as `./milp-thread.js`
 * @throws Error where it has not been built
 */
export function threadFile(caller: string, path: string): string {
  const beside = fileURLToPath(new URL(path, caller));
  const built = [beside, beside.replace(/\/src\/(?!.*\/src\/)/, '/dist/src/')].find((file) =>
    existsSync(file),
  );
  if (built === undefined) throw new Error('the service has not been built; run npm run build');
  return built;
}

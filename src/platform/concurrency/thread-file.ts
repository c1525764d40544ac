import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/**
 * Returns the compiled file that a thread runs. The file is beside its caller, or in `dist/` when
 * tests run the caller uncompiled.
 *
 * @param caller the caller's `import.meta.url`
 * @param path path relative to the caller, such as `./milp-thread.js`
 * @throws Error when the file has not been built
 */
export function threadFile(caller: string, path: string): string {
  const beside = fileURLToPath(new URL(path, caller));
  const built = [beside, beside.replace(/\/src\/(?!.*\/src\/)/, '/dist/src/')].find((file) =>
    existsSync(file),
  );
  if (built === undefined) throw new Error('the service has not been built; run npm run build');
  return built;
}

import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { extname, join, sep } from 'node:path';
import { fileURLToPath } from 'node:url';

/**
 * The build output of `clients/pages`. It is next to the compiled service, or in `dist/` when tests
 * run the service uncompiled.
 */
const FOLDERS = ['../../../pages/', '../../../dist/pages/'];

const TYPES: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
};

export interface AppFile {
  /** Its path below the folder, such as `assets/desk-9ZxX.js`. */
  name: string;
  type: string;
  content: Buffer;
}

/**
 * All files that the pages are made of.
 *
 * @throws Error when they have not been built, or when a file is of an unknown type
 */
export function appFiles(): AppFile[] {
  const folder = FOLDERS.map((path) => fileURLToPath(new URL(path, import.meta.url))).find((path) =>
    existsSync(join(path, 'desk.html')),
  );
  if (folder === undefined) throw new Error('the pages have not been built; run npm run build');
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => {
      const path = join(entry.parentPath, entry.name);
      const type = TYPES[extname(path)];
      if (type === undefined) throw new Error(`${path} is of a type that is not served`);
      const name = path.slice(folder.length).split(sep).join('/');
      return { name, type, content: readFileSync(path) };
    });
}

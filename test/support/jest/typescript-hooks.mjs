import { transformSync } from '@swc/core';
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** As in tsconfig.json. */
const OPTIONS = {
  configFile: false,
  swcrc: false,
  jsc: {
    target: 'es2023',
    parser: { syntax: 'typescript', decorators: true },
    transform: { legacyDecorator: true, decoratorMetadata: true, useDefineForClassFields: false },
  },
  module: { type: 'es6' },
  sourceMaps: 'inline',
};

const isOurs = (url) => url.startsWith('file:') && !url.includes('/node_modules/');

/** Resolves an import of `./name.js` to `./name.ts`. */
export async function resolve(specifier, context, next) {
  const { parentURL = '' } = context;
  if (/^\.{1,2}\/.*\.js$/.test(specifier) && isOurs(parentURL)) {
    const url = new URL(specifier.replace(/\.js$/, '.ts'), parentURL);
    if (existsSync(url)) return { url: url.href, format: 'module', shortCircuit: true };
  }
  return next(specifier, context);
}

/** Compiles TypeScript without checking types. */
export async function load(url, context, next) {
  if (!isOurs(url) || !new URL(url).pathname.endsWith('.ts')) return next(url, context);
  const filename = fileURLToPath(url);
  const { code } = transformSync(readFileSync(filename, 'utf8'), { ...OPTIONS, filename });
  return { format: 'module', source: code, shortCircuit: true };
}

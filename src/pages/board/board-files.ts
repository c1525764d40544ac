import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, posix, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { LOSS_ALERT_KINDS } from '../../domain/loss/facts/types.js';
import { READING_KINDS } from '../../domain/readings/kinds.js';
import { type Language, LANGUAGE_FILES, LANGUAGES } from '../../platform/words/languages.js';
import { circuitTerm } from '../../domain/intervals/terms.js';
import { CIRCUITS } from '../../domain/vehicles/circuits.js';
import { alertTerm, readingTerm } from '../../platform/words/terms.js';
import { BOARD_STYLE } from './board-style.js';

/**
 * The build output of `clients/board`. It is next to the compiled service, or in `dist/` when tests
 * run the service uncompiled.
 */
const FOLDERS = ['../../../board/', '../../../dist/board/'];

/** The script that runs the page. It imports the others. */
export const ENTRY = 'board/src/main.js';
export const STYLE_NAME = 'board.css';
export const textsName = (language: Language): string => `texts/${language}.js`;

/** Declares the board's messages. Only the compiler and the check of the languages need it. */
const DECLARATIONS = 'board/src/messages.js';

/**
 * The board's only library. It imports nothing, so its `.iife.js` file works as a module in spite
 * of the name.
 */
const LIBRARY = 'intl-messageformat';
const LIBRARY_NAME = 'intl-messageformat.js';

const PREFIXES_OF_BOARD = ['board-', 'component-', 'action-'];
const SHARED_CODES = new Set<string>([
  ...READING_KINDS.map((kind) => readingTerm(kind).code),
  ...CIRCUITS.map((circuit) => circuitTerm(circuit).code),
  ...LOSS_ALERT_KINDS.map((kind) => alertTerm(kind).code),
  ...['part-with-item', 'part-in-circuit', 'work-on-part', 'hold-test-by-method'],
  ...['not-known', 'heading-at-once', 'heading-due-list', 'heading-cautions'],
]);

/** Whether the board uses a message: one of its own, or a term of the rules. */
export const isOfBoard = (code: string): boolean =>
  SHARED_CODES.has(code) || PREFIXES_OF_BOARD.some((prefix) => code.startsWith(prefix));

export interface BoardFile {
  name: string;
  type: string;
  content: Buffer;
}

const script = (name: string, text: string): BoardFile => ({
  ...{ name, type: 'text/javascript; charset=utf-8', content: Buffer.from(text) },
});

/**
 * All files of the page.
 *
 * @throws Error when the board has not been built
 */
export function boardFiles(): BoardFile[] {
  return [
    ...ownScripts(),
    script(LIBRARY_NAME, libraryText()),
    ...LANGUAGES.map((language) => script(textsName(language), textsModule(language))),
    { name: STYLE_NAME, type: 'text/css; charset=utf-8', content: Buffer.from(BOARD_STYLE) },
  ];
}

function ownScripts(): BoardFile[] {
  const folder = FOLDERS.map((path) => fileURLToPath(new URL(path, import.meta.url))).find((path) =>
    existsSync(join(path, ENTRY)),
  );
  if (folder === undefined) throw new Error('the board has not been built; run npm run build');
  return (
    readdirSync(folder, { recursive: true, encoding: 'utf8' })
      .filter((path) => path.endsWith('.js'))
      .map((path) => ({ name: path.split(sep).join('/'), text: readFileSync(join(folder, path), 'utf8') }))
      // A file with types only compiles to an empty module, which nothing imports.
      .filter(({ text }) => text.trim() !== 'export {};')
      .filter(({ name }) => name !== DECLARATIONS)
      .map(({ name, text }) => script(name, withLibraryAt(name, text)))
      .sort((a, b) => (a.name < b.name ? -1 : 1))
  );
}

/** A browser cannot look up packages, so the library is imported by its path. */
function withLibraryAt(name: string, text: string): string {
  return text.replaceAll(`from '${LIBRARY}'`, `from '${posix.relative(posix.dirname(name), LIBRARY_NAME)}'`);
}

/** The library with its licence text, which every copy must include. */
function libraryText(): string {
  const folder = dirname(createRequire(import.meta.url).resolve(LIBRARY));
  const licence = readFileSync(join(folder, 'LICENSE.md'), 'utf8').trim();
  const code = readFileSync(join(folder, `${LIBRARY}.iife.js`), 'utf8');
  return `/*!\n${LIBRARY}\n\n${licence}\n*/\n${code.replace(/\n\/\/# sourceMappingURL=.*\s*$/, '\n')}`;
}

/** The board's texts in a language, as a module. */
function textsModule(language: Language): string {
  const { locale, messages } = LANGUAGE_FILES[language];
  const ofBoard = Object.entries(messages).filter(([code]) => isOfBoard(code));
  return `export default ${JSON.stringify({ language, locale, messages: Object.fromEntries(ofBoard) })};\n`;
}

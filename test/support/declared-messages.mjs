/** The messages that the service can give people, read from the output of `npm run build`. */
import { readdirSync } from 'node:fs';

export const root = new URL('../../', import.meta.url);

/** Returns the TypeScript files of folders, as paths from the root of the project. */
export const filesOf = (...folders) =>
  folders.flatMap((folder) =>
    readdirSync(new URL(`${folder}/`, root), { recursive: true, encoding: 'utf8' })
      .filter((file) => /\.tsx?$/.test(file))
      .map((file) => `${folder}/${file}`)
      .sort(),
  );

/**
 * Returns all declared messages: code → { file, parameters }.
 *
 * @param onTwice called with each code that is declared twice
 */
export async function declaredMessages(onTwice = () => undefined) {
  const declared = new Map();
  const note = (file, messages) => {
    for (const [code, parameters] of Object.entries(messages)) {
      if (declared.has(code)) onTwice(file, code, declared.get(code).file);
      declared.set(code, { file, parameters });
    }
  };
  for (const file of filesOf('src', 'clients/pages/src').filter((name) => name.endsWith('messages.ts'))) {
    const module = await import(new URL(`dist/${file.replace(/\.ts$/, '.js')}`, root).href);
    for (const maker of Object.values(module))
      if (typeof maker === 'function' && maker.declared !== undefined) note(file, maker.declared);
  }
  return declared;
}

/** Returns the languages: tag → { locale, name, messages }. */
export async function languageFiles() {
  const { LANGUAGE_FILES } = await import(new URL('dist/src/platform/words/languages.js', root).href);
  return LANGUAGE_FILES;
}

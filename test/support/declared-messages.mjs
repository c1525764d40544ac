/** What the service can tell people, as `npm run build` made it. */
import { readdirSync } from 'node:fs';

export const root = new URL('../../', import.meta.url);

/** The TypeScript files of folders, by their paths from the root of the project. */
export const filesOf = (...folders) =>
  folders.flatMap((folder) =>
    readdirSync(new URL(`${folder}/`, root), { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts'))
      .map((file) => `${folder}/${file}`)
      .sort(),
  );

/**
 * All declared messages: code → { file, parameters }.
 *
 * @param onTwice hears of a code that is declared a second time
 */
export async function declaredMessages(onTwice = () => undefined) {
  const declared = new Map();
  for (const file of filesOf('src').filter((name) => name.endsWith('messages.ts'))) {
    const module = await import(new URL(`dist/${file.replace(/\.ts$/, '.js')}`, root).href);
    for (const maker of Object.values(module)) {
      if (typeof maker !== 'function' || maker.declared === undefined) continue;
      for (const [code, parameters] of Object.entries(maker.declared)) {
        if (declared.has(code)) onTwice(file, code, declared.get(code).file);
        declared.set(code, { file, parameters });
      }
    }
  }
  return declared;
}

/** The languages: tag → { locale, name, messages }. */
export async function languageFiles() {
  const { LANGUAGE_FILES } = await import(new URL('dist/src/platform/words/languages.js', root).href);
  return LANGUAGE_FILES;
}

/**
 * Gives each page its texts, a file for each language, and nothing of what only the service says.
 * Reads the output of `tsc`.
 */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { declaredMessages, languageFiles } from '../../test/support/declared-messages.mjs';

/** Where the messages that a page can say are declared. */
const SAID_BY = {
  desk: ['clients/pages/src/kit/', 'clients/pages/src/desk/'],
  // The rules run on the phone, so it says what they say.
  phone: ['clients/pages/src/kit/', 'clients/pages/src/phone/', 'src/domain/'],
  'sign-in': ['clients/pages/src/kit/', 'clients/pages/src/sign-in/'],
};
/** Terms that every page can say. */
const TERMS = /^(component|action|circuit|reading|alert)-|^(part-with-item|part-in-circuit|work-on-part)$/;
const WORDS_OF_ALL = 'src/platform/words/';

const NAME = /^texts:([a-z-]+)\/([a-z]+)$/;
const LANGUAGES = fileURLToPath(new URL('../../src/platform/words/languages.ts', import.meta.url));
const LOADED = fileURLToPath(new URL('src/kit/texts/loaded-languages.ts', import.meta.url));

let declaring = null;

async function textsOf(page, language) {
  const folders = [...SAID_BY[page], WORDS_OF_ALL];
  const declared = await (declaring ??= declaredMessages());
  const isSaid = (code) =>
    TERMS.test(code) || folders.some((folder) => declared.get(code)?.file.startsWith(folder));
  const { locale, name, messages } = (await languageFiles())[language];
  const said = Object.entries(messages).filter(([code]) => isSaid(code));
  return { locale, name, messages: Object.fromEntries(said) };
}

export function textsOfPages() {
  return {
    name: 'texts-of-pages',
    enforce: 'pre',
    async resolveId(source, importer, options) {
      if (NAME.test(source)) return `\0${source}`;
      if (!source.endsWith('/languages.js') || importer === undefined) return null;
      // What renders messages asks for the languages. On a page, there are only those loaded.
      const found = await this.resolve(source, importer, { ...options, skipSelf: true });
      return found?.id === LANGUAGES && existsSync(LOADED) ? LOADED : null;
    },
    async load(id) {
      const [, page, language] = NAME.exec(id.slice(1)) ?? [];
      if (page === undefined) return null;
      return `export default ${JSON.stringify(await textsOf(page, language))};`;
    },
  };
}

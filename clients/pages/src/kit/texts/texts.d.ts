/** The texts of a page in a language, made by `texts-plugin.mjs`. */
declare module 'texts:*' {
  const texts: import('../../../../../src/platform/words/language-file.js').LanguageFile;
  export default texts;
}

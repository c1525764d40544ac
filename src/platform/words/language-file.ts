/** The texts of one language. To add a language, add such a file and list it in `languages.ts`. */
export interface LanguageFile {
  /** Formats numbers, dates and lists (BCP 47 tag). */
  readonly locale: string;
  /** Its name, in the language itself. */
  readonly name: string;
  /** What each code says, in ICU MessageFormat. */
  readonly messages: Readonly<Record<string, string>>;
}

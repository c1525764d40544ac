/**
 * A language that a person can read the service in. A further one is a file, and a line in
 * `languages.ts`.
 */
export interface LanguageFile {
  /** By which numbers and lists are written (BCP 47). */
  readonly locale: string;
  /** Its own name for itself. */
  readonly name: string;
  /** What each code says, in ICU MessageFormat. */
  readonly messages: Readonly<Record<string, string>>;
}

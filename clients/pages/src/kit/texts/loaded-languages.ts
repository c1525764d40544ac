import type { LanguageFile } from '../../../../../src/platform/words/language-file.js';

export const LANGUAGES = ['en', 'es'] as const;
export type Language = (typeof LANGUAGES)[number];

const NOTHING_LOADED: LanguageFile = { locale: 'en-US', name: '', messages: {} };

/** The languages that the page has loaded. It stands in for the service's table of all. */
export const LANGUAGE_FILES: Record<Language, LanguageFile> = { en: NOTHING_LOADED, es: NOTHING_LOADED };

export function isLanguage(candidate: unknown): candidate is Language {
  return LANGUAGES.some((language) => language === candidate);
}

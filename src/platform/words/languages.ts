import type { LanguageFile } from './language-file.js';
import { ENGLISH } from './languages/en.js';
import { SPANISH } from './languages/es.js';

export const LANGUAGES = ['en', 'es'] as const;
export type Language = (typeof LANGUAGES)[number];

export const LANGUAGE_FILES: Readonly<Record<Language, LanguageFile>> = { en: ENGLISH, es: SPANISH };

export function isLanguage(candidate: unknown): candidate is Language {
  return LANGUAGES.some((language) => language === candidate);
}

import { signal } from '@preact/signals';
import type { Message } from '../../../../../src/domain/message.js';
import type { UnitSystem } from '../../../../../src/domain/quantities/measures.js';
import { listenForUntold, type Reader, textOf } from '../../../../../src/platform/words/render.js';
import type { LanguageFile } from '../../../../../src/platform/words/language-file.js';
import { isLanguage, type Language, LANGUAGE_FILES } from './loaded-languages.js';

/** Who reads the page. Whatever is shown through it is shown anew when it changes. */
export const reader = signal<Reader & { units: UnitSystem }>({ language: 'en', units: 'si' });

/** Loads the texts of a page in a language. */
export type TextLoader = Readonly<Record<Language, () => Promise<{ default: LanguageFile }>>>;

const KEPT_AS = 'weephole-language';
let loader: TextLoader | null = null;

listenForUntold((code, why) => console.error(`no text for ${code}:`, why));

/** What a message says to the reader of the page. */
export const tell = (said: Message): string => textOf(said, reader.value);

/** By which numbers, dates and lists are written (BCP 47). */
export const locale = (): string => LANGUAGE_FILES[reader.value.language].locale;

/** The language that somebody chose on this browser; null when nobody did. */
export function chosenLanguage(): Language | null {
  const kept = localStorage.getItem(KEPT_AS);
  return isLanguage(kept) ? kept : null;
}

/** The language that the browser asks for first; null when it asks for none that there is. */
function askedLanguage(): Language | null {
  for (const tag of navigator.languages) {
    const [language] = tag.toLowerCase().split('-');
    if (isLanguage(language)) return language;
  }
  return null;
}

/** Whether nobody chose a language here, and the browser asks for none that there is. */
export const isUndecided = (): boolean => chosenLanguage() === null && askedLanguage() === null;

/** Begins with the language chosen on this browser, else with the one that it asks for. */
export async function beginTelling(texts: TextLoader): Promise<void> {
  loader = texts;
  await speak(chosenLanguage() ?? askedLanguage() ?? 'en');
}

export async function speak(language: Language): Promise<void> {
  if (loader === null) throw new Error('beginTelling was not called');
  if (LANGUAGE_FILES[language].name === '') LANGUAGE_FILES[language] = (await loader[language]()).default;
  document.documentElement.lang = language;
  reader.value = { ...reader.value, language };
}

/** Speaks a language from now on, also the next time on this browser. */
export async function chooseLanguage(language: Language): Promise<void> {
  await speak(language);
  localStorage.setItem(KEPT_AS, language);
}

export function readIn(units: UnitSystem): void {
  reader.value = { ...reader.value, units };
}

import { currentLanguage, type LanguageTexts, speak, tell } from './language.js';
import type { PlainCode } from './codes.js';

/** Outlasts the tab: it tells nothing about anybody. */
const KEPT_AS = 'weephole-language';

const page = document.documentElement;
const switches = (): NodeListOf<HTMLButtonElement> => document.querySelectorAll('button[data-texts]');

const chosen = (): string | null => {
  const kept = localStorage.getItem(KEPT_AS);
  return [...switches()].some(({ lang }) => lang === kept) ? kept : null;
};

/** The language that somebody chose on this browser, else the one that the page came in. */
export const wantedLanguage = (): string => chosen() ?? page.lang;

/** Whether nobody chose a language, and the browser asked for none that there is. */
export const isUndecided = (): boolean => chosen() === null && page.dataset.asked === 'none';

/** Turns the page to a language: its texts, its own words, and which of the switches is on. */
export async function turnTo(language: string): Promise<void> {
  const on = [...switches()].find(({ lang }) => lang === language);
  if (on?.dataset.texts === undefined) return;
  const { default: texts } = (await import(on.dataset.texts)) as { default: LanguageTexts };
  speak(texts);
  page.lang = language;
  for (const button of switches()) button.setAttribute('aria-pressed', String(button === on));
  for (const element of document.querySelectorAll<HTMLElement>('[data-text]'))
    element.textContent = tell(element.dataset.text as PlainCode);
  for (const element of document.querySelectorAll<HTMLElement>('[data-label]'))
    element.setAttribute('aria-label', tell(element.dataset.label as PlainCode));
}

/**
 * Keeps a choice of language when one of the switches is pressed, and tells when the page has it.
 */
export function listenToSwitches(turned: () => void): void {
  for (const button of switches())
    button.addEventListener('click', () => {
      localStorage.setItem(KEPT_AS, button.lang);
      if (button.lang !== currentLanguage()) void turnTo(button.lang).then(turned);
    });
}

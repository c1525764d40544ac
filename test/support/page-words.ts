import { type MessageFormatElement, parse, TYPE } from '@formatjs/icu-messageformat-parser';
import type { Page } from 'playwright-core';
import { ENGLISH } from '../../src/platform/words/languages/en.js';
import { SPANISH } from '../../src/platform/words/languages/es.js';

const LETTER = String.raw`[\p{L}\d]`;

/** The words of a message between its values, without the marks around them. */
function wordsIn(elements: readonly MessageFormatElement[]): string[] {
  return elements.flatMap((element) => {
    if (element.type === TYPE.literal)
      return element.value.replaceAll(/^[^\p{L}]+|[^\p{L}]+$/gu, '').split(/\s*[:;.()]+\s*/);
    if (element.type === TYPE.plural || element.type === TYPE.select)
      return Object.values(element.options).flatMap(({ value }) => wordsIn(value));
    return [];
  });
}

const wordsOf = (texts: readonly string[]): string[] =>
  texts.flatMap((text) => wordsIn(parse(text, { ignoreTag: true })));

const standsIn = (words: string, text: string): boolean => {
  const escaped = words.replaceAll(/[.*+?^${}()|[\]\\/]/g, String.raw`\$&`);
  return new RegExp(`(?<!${LETTER})${escaped}(?!${LETTER})`, 'u').test(text);
};

const SAID_ON_PAGES = /^(page|desk|component|action|circuit|reading|alert)-/;

/** English words of the pages that no Spanish text has. */
function englishWords(): string[] {
  const spanish = Object.values(SPANISH.messages).join('\n');
  const english = Object.entries(ENGLISH.messages).flatMap(([code, text]) =>
    SAID_ON_PAGES.test(code) ? [text] : [],
  );
  return [...new Set(wordsOf(english))].filter((words) => words !== '' && !standsIn(words, spanish));
}

/** All that a page says: its texts, hidden ones too, and what it says in place of a drawing. */
function textsOn(page: Page): Promise<string[]> {
  return page.evaluate<string[]>(`[
    document.title,
    ...[...document.querySelectorAll('body *')].flatMap((element) => [
      ...['aria-label', 'title', 'placeholder'].map((name) => element.getAttribute(name) ?? ''),
      ...[...element.childNodes].filter(({ nodeType }) => nodeType === 3).map(({ data }) => data),
    ]),
  ].filter((text) => text.trim() !== '')`);
}

/**
 * English words on a Spanish page, each with the text around it.
 *
 * @param given what people wrote, or the service: no words of the pages
 */
export async function englishOn(page: Page, given: readonly string[]): Promise<string[]> {
  const words = englishWords();
  const longestFirst = [...given].sort((a, b) => b.length - a.length);
  return (await textsOn(page)).flatMap((text) => {
    const own = longestFirst.reduce((rest, part) => rest.replaceAll(part, ' '), text);
    return words.filter((english) => standsIn(english, own)).map((english) => `${english}: ${text}`);
  });
}

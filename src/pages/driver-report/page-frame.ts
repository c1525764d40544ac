import type { Message } from '../../domain/message.js';
import { driverCautions } from '../../domain/defects/label-report.js';
import { Html, html } from '../../platform/presenting/html.js';
import { type Language, LANGUAGE_FILES, LANGUAGES } from '../../platform/words/languages.js';
import { textOf } from '../../platform/words/render.js';
import { message } from './messages.js';
import { STYLE_ELEMENT } from './page-style.js';

/** Who reads a page, and where it is. */
export interface PagePlace {
  language: Language;
  /** The path of the page, for the links to it in other languages. */
  path: string;
}

export function sayIn(language: Language): (said: Message) => string {
  return (said) => textOf(said, { language, units: null });
}

/** A page with the choice of languages above its content. */
export function framed({ language, path }: PagePlace, title: string, content: Html): string {
  const choices = LANGUAGES.map((each) => {
    const { name } = LANGUAGE_FILES[each];
    return each === language
      ? html`<span aria-current="true">${name}</span>`
      : html`<a href="${path}?lang=${each}" lang="${each}" hreflang="${each}">${name}</a>`;
  });
  return html`<!doctype html>
    <html lang="${language}">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <title>${title}</title>
        <link rel="icon" href="data:," />
        ${STYLE_ELEMENT}
      </head>
      <body>
        <nav aria-label="${sayIn(language)(message('driver-page-languages'))}">${choices}</nav>
        <main>${content}</main>
      </body>
    </html> `.text;
}

/** What to mind beside a vehicle in trouble. */
export function cautionsIn(language: Language): Html {
  const say = sayIn(language);
  return html`<section class="mind">
    <h2>${say(message('driver-page-cautions'))}</h2>
    <ul>
      ${driverCautions().map((caution) => html`<li>${say(caution)}</li>`)}
    </ul>
  </section>`;
}

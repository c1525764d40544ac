import { Html, html } from '../../platform/presenting/html.js';
import { type Language, LANGUAGE_FILES, LANGUAGES } from '../../platform/words/languages.js';
import { textOf } from '../../platform/words/render.js';

/** The addresses of the page's files. */
export interface BoardAddresses {
  entry: string;
  style: string;
  /** The scripts that the page loads in every language. */
  scripts: readonly string[];
  /** The texts of each language. */
  texts: Readonly<Record<Language, string>>;
}

/** The language of a page, and whether the browser asked for it. */
export interface PageLanguage {
  language: Language;
  isAsked: boolean;
}

/** The page without data. Its scripts load the data after sign-in. */
export function boardPage(addresses: BoardAddresses, { language, isAsked }: PageLanguage): string {
  const { entry, style, scripts, texts } = addresses;
  const tell = (code: string): string => textOf({ code, values: {} }, { language, units: null });
  // When the language changes, the scripts replace each text that has `data-text` or `data-label`.
  const text = (code: string): Html => html`data-text="${code}">${tell(code)}`;
  const label = (code: string): Html => html`data-label="${code}" aria-label="${tell(code)}"`;
  // Preloads all scripts at once. Otherwise the browser finds them one by one, a round trip each.
  const preloads = [...scripts, texts[language]].map(
    (path) => html`<link rel="modulepreload" href="${path}" /> `,
  );
  return html`<!doctype html>
<html lang="${language}" data-asked="${isAsked ? language : 'none'}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${tell('board-title')} · Weephole</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="${style}">
${preloads}<script type="module" src="${entry}"></script>
</head>
<body>
<a class="skip" id="skip" href="#main" ${text('board-skip')}</a>
<header class="title-block">
<p class="name">Weephole <span id="fleet"></span></p>
<nav id="views" ${label('board-views')} hidden>
<ul>
<li><a href="#/due" data-view="due" ${text('heading-due-list')}</a></li>
<li><a href="#/alerts" data-view="alerts" ${text('board-loss-alerts')}</a></li>
<li><button type="button" class="plain" id="sign-out" ${text('board-sign-out')}</button></li>
</ul>
</nav>
<div role="group" class="languages" ${label('board-language')}>
${LANGUAGES.map((one) => languageSwitch(one, texts[one], one === language))}</div>
</header>
<main id="main" tabindex="-1"><noscript><p>${tell('board-needs-javascript')}</p></noscript></main>
<footer>
<p id="connection" role="status"></p>
<p ${text('board-disclaimer')}</p>
</footer>
<div id="news" class="unseen" role="status" aria-live="polite"></div>
</body>
</html>
`.text;
}

/** A button with a language's own name. It is pressed while the page is in that language. */
function languageSwitch(language: Language, address: string, isOn: boolean): Html {
  return html`<button
    type="button"
    class="plain"
    lang="${language}"
    data-texts="${address}"
    aria-pressed="${String(isOn)}"
  >
    ${LANGUAGE_FILES[language].name}
  </button> `;
}

import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { Link, useLocation } from 'wouter-preact';
import { message } from '../messages.js';
import { isSignedIn, signOut } from '../service/session.js';
import { chooseLanguage, reader, tell } from '../texts/tell.js';
import { LANGUAGES } from '../texts/loaded-languages.js';

export interface View {
  path: string;
  /** Its name in the navigation. */
  name: string;
}

/** Each language in itself. */
export const LANGUAGE_NAMES = { en: 'English', es: 'Español' } as const;

/** Chooses the language of the page. */
export function Languages() {
  return (
    <div role="group" class="languages" aria-label={tell(message('page-language'))}>
      {LANGUAGES.map((language) => (
        <button
          key={language}
          type="button"
          class="plain"
          lang={language}
          aria-pressed={reader.value.language === language}
          onClick={() => void chooseLanguage(language)}
        >
          {LANGUAGE_NAMES[language]}
        </button>
      ))}
    </div>
  );
}

function Navigation({ views }: { views: readonly View[] }) {
  const [at] = useLocation();
  const isOn = (path: string): boolean => (path === '/' ? at === '/' : at.startsWith(path));
  return (
    <nav aria-label={tell(message('page-views'))}>
      <ul>
        {views.map(({ path, name }) => (
          <li key={path}>
            <Link href={path} aria-current={isOn(path) ? 'page' : undefined}>
              {name}
            </Link>
          </li>
        ))}
      </ul>
    </nav>
  );
}

/** What is around every view: name, navigation, languages, and the way out. */
export function Shell({ views, children }: { views: readonly View[]; children: ComponentChildren }) {
  return (
    <>
      <a class="skip" href="#main">
        {tell(message('page-skip'))}
      </a>
      <header class="head">
        <p class="name">Weephole</p>
        {isSignedIn() && <Navigation views={views} />}
        <Languages />
        {isSignedIn() && (
          <button type="button" class="plain" onClick={signOut}>
            {tell(message('page-sign-out'))}
          </button>
        )}
      </header>
      <main id="main" tabIndex={-1}>
        {children}
      </main>
      <footer>
        <p>{tell(message('page-disclaimer'))}</p>
      </footer>
    </>
  );
}

/**
 * The heading of a view. It gets the focus when the view opens, so that a screen reader begins
 * there, and names the page.
 */
export function Heading({ children }: { children: string }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    heading.current?.focus();
  }, []);
  useEffect(() => {
    document.title = `${children} · Weephole`;
  }, [children]);
  return (
    <h1 ref={heading} tabIndex={-1}>
      {children}
    </h1>
  );
}

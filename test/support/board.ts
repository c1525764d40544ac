import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

export interface BoardPage {
  page: Page;
  /**
   * The browser's complaints: errors on its console, script errors, and violations of the page's
   * policy.
   */
  complaints: string[];
  /** Bytes transferred over the network, by URL. */
  transferred: { url: string; bytes: number }[];
  close(): Promise<void>;
}

/** Opens the board in a browser context of its own, which collects all complaints. */
export async function openBoard(
  browser: Browser,
  url: string,
  { hash = '', ...options }: BrowserContextOptions & { hash?: string } = {},
): Promise<BoardPage> {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const complaints: string[] = [];
  const transferred: BoardPage['transferred'] = [];
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('dialog', (dialog) => {
    complaints.push(`a dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  await page.exposeFunction('complainOfPolicy', (text: string) => complaints.push(text));
  await page.addInitScript(
    `addEventListener('securitypolicyviolation', (event) => complainOfPolicy('policy: ' + event.violatedDirective + ' ' + event.blockedURI))`,
  );
  page.on('requestfinished', (request) => {
    void request
      .sizes()
      .then(({ responseBodySize, responseHeadersSize }) =>
        transferred.push({ url: request.url(), bytes: responseBodySize + responseHeadersSize }),
      )
      .catch((error: unknown) => {
        // Errors on a page that is gone do not count.
        if (!page.isClosed()) complaints.push(String(error));
      });
  });
  await page.goto(`${url}/board${hash}`);
  return { page, complaints, transferred, close: () => context.close() };
}

/** What the sign-in is called, in the language of the page. */
const SIGN_IN = {
  en: { button: 'Sign in', views: 'Views' },
  es: { button: 'Iniciar sesión', views: 'Vistas' },
};

/**
 * Signs in as people do.
 *
 * @param before the language of the page with the sign-in
 * @param after the language that the page is in once somebody is signed in
 */
export async function signIn(
  page: Page,
  token: string,
  before: keyof typeof SIGN_IN = 'en',
  after: keyof typeof SIGN_IN = before,
): Promise<void> {
  await page.getByLabel('Token').fill(token);
  await page.getByRole('button', { name: SIGN_IN[before].button }).click();
  await page.getByRole('navigation', { name: SIGN_IN[after].views }).waitFor();
}

/** Returns the serious and critical findings of an accessibility check, each with its element. */
export async function seriousFindings(page: Page): Promise<string[]> {
  await page.evaluate(AXE);
  // A printable page inside the page is checked separately.
  return page.evaluate<string[]>(`axe.run({ exclude: ['iframe'] }).then(({ violations }) =>
    violations.filter(({ impact }) => impact === 'serious' || impact === 'critical')
      .flatMap(({ id, nodes }) => nodes.map(({ html, failureSummary }) => id + ': ' + html.slice(0, 160) + ' ' + failureSummary)))`);
}

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, BrowserContextOptions, Page } from 'playwright-core';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

export interface OpenedPage {
  page: Page;
  /** What the browser complained of: errors and warnings, and what the page's policy forbids. */
  complaints: string[];
  /** What came over the network so far. */
  transferred: () => { url: string; bytes: number }[];
  /** All that axe finds by WCAG 2.2 AA and its best practices, each with its element. */
  findings: () => Promise<string[]>;
  close: () => Promise<void>;
}

/** What the browser says of every answer that is a problem; each is looked at by itself. */
const REFUSED = /^Failed to load resource: the server responded with a status of 4\d\d/;

/** Opens a page in a browser context of its own, and notes what the browser complains of. */
export async function openPage(
  browser: Browser,
  address: string,
  options: BrowserContextOptions = {},
): Promise<OpenedPage> {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const complaints: string[] = [];
  const loaded: { url: string; bytes: number }[] = [];
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type()) && !REFUSED.test(message.text()))
      complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('requestfinished', (request) => {
    void request.sizes().then(
      ({ responseBodySize, responseHeadersSize }) =>
        loaded.push({ url: request.url(), bytes: responseBodySize + responseHeadersSize }),
      () => undefined,
    );
  });
  await page.goto(address);
  return {
    ...{ page, complaints, transferred: () => loaded, close: () => context.close() },
    findings: () => findingsOn(page),
  };
}

/** All that axe finds on a page, each with its element. */
export async function findingsOn(page: Page): Promise<string[]> {
  await page.evaluate(AXE);
  return page.evaluate<string[]>(`axe.run({ exclude: ['iframe'] }).then(({ violations }) =>
    violations.flatMap(({ id, nodes }) => nodes.map(({ html, failureSummary }) => id + ': ' + html.slice(0, 160) + ' ' + failureSummary)))`);
}

import { type Browser, chromium } from 'playwright-core';

/**
 * Chromium features to turn off. For each page, the browser would also load the two pop-up lists of
 * its address bar, as pages in a process of their own, which takes two fifths of the cost of a
 * page. Of several such lists of features, the browser obeys only the last, so this one repeats
 * those that Playwright turns off.
 */
const WITHOUT_FEATURES = [
  'WebUIOmniboxPopup',
  'WebUIOmniboxAimPopup',
  ...['AvoidUnnecessaryBeforeUnloadCheckSync', 'DestroyProfileOnBrowserClose', 'HttpsUpgrades'],
  ...['HttpsFirstBalancedModeAutoEnable', 'LensOverlay', 'MediaRouter', 'PaintHolding'],
  ...['ThirdPartyStoragePartitioning', 'AvoidCorsURLLoaderRestartOnRedirect', 'OptimizationHints'],
  ...['NetworkTimeServiceQuerying', 'AimEnabled', 'PreconnectToSearch'],
];
const ARGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  // Without a separate drawing process. On a busy machine, that process may be so slow that the
  // whole browser gives up.
  '--in-process-gpu',
  '--disable-gpu-watchdog',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  `--disable-features=${WITHOUT_FEATURES.join()}`,
];
const LAST_LINES = 30;

/**
 * The Chromium chosen for the run. Its process may die through no fault of the tests. Its last
 * output is then printed, a new one is launched, and the interrupted test is run once more. A test
 * that fails while the browser is alive is not repeated.
 */
export class TestBrowser {
  private launched: Browser | null = null;
  private written: string[] = [];
  private isClosing = false;

  /** @param args what it is launched with besides, such as a camera that plays a file */
  constructor(private readonly args: readonly string[] = []) {}

  /** @returns the browser, relaunched if it has died */
  async get(): Promise<Browser> {
    if (this.launched?.isConnected()) return this.launched;
    this.written = [];
    const browser = await chromium.launch({
      executablePath: process.env.WEEPHOLE_TEST_CHROMIUM,
      args: [...ARGS, ...this.args],
      logger: {
        isEnabled: (name) => name === 'browser',
        log: (_name, _severity, message) => this.keep(String(message)),
      },
    });
    browser.on('disconnected', () => {
      if (!this.isClosing) console.warn(['The browser died. It last wrote:', ...this.written].join('\n'));
    });
    this.launched = browser;
    return browser;
  }

  /** Runs a test. If the browser dies during it, prepares again and runs it once more. */
  async run(test: () => Promise<void>, prepareAgain: () => Promise<void>): Promise<void> {
    const browser = await this.get();
    try {
      await test();
    } catch (error) {
      if (browser.isConnected()) throw error;
      console.warn('The test is run once more, for the browser died under it:', error);
      await prepareAgain();
      await test();
    }
  }

  /** Like `it`, for tests in this browser. */
  tests(prepareAgain: () => Promise<void>): (name: string, body: () => Promise<void>) => void {
    // oxlint-disable-next-line jest/valid-title, jest/expect-expect -- the title and the assertions are the caller's
    return (name, body) => it(name, () => this.run(body, prepareAgain));
  }

  async close(): Promise<void> {
    this.isClosing = true;
    await this.launched?.close();
  }

  private keep(message: string): void {
    this.written.push(message);
    if (this.written.length > LAST_LINES) this.written.shift();
  }
}

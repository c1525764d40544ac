import { TestBrowser } from './browser.js';

describe('the browser of the tests', () => {
  const browser = new TestBrowser();
  let warned: jest.SpiedFunction<typeof console.warn>;

  beforeEach(() => {
    warned = jest.spyOn(console, 'warn').mockImplementation(() => undefined);
  });
  afterEach(() => warned.mockRestore());
  afterAll(() => browser.close());

  it('is launched again after it died, and the test during which it died runs once more', async () => {
    const ran: string[] = [];
    await browser.run(
      async () => {
        ran.push('test');
        const page = await (await browser.get()).newPage();
        if (ran.length === 1) await die();
        expect(await page.evaluate('1 + 1')).toBe(2);
      },
      async () => void ran.push('prepared'),
    );
    expect(ran).toEqual(['test', 'prepared', 'test']);
    expect(warned.mock.calls.flat().join('\n')).toContain('The browser died');
  });

  it('lets a test fail if it dies twice during it', async () => {
    let runs = 0;
    const failing = browser.run(
      async () => {
        runs++;
        const page = await (await browser.get()).newPage();
        await die();
        await page.evaluate('1 + 1');
      },
      () => Promise.resolve(),
    );
    await expect(failing).rejects.toThrow(/closed/);
    expect(runs).toBe(2);
  });

  it('never repeats a test that fails while it is alive', async () => {
    let runs = 0;
    const failing = browser.run(
      async () => {
        runs++;
        const page = await (await browser.get()).newPage();
        expect(await page.evaluate('1 + 1')).toBe(3);
      },
      () => Promise.reject(new Error('prepared again')),
    );
    await expect(failing).rejects.toThrow(/Expected: 3/);
    expect(runs).toBe(1);
  });

  async function die(): Promise<void> {
    const launched = await browser.get();
    const gone = new Promise((resolve) => launched.once('disconnected', resolve));
    const session = await launched.newBrowserCDPSession();
    // No answer comes of it.
    void session.send('Browser.crash').catch(() => undefined);
    await gone;
  }
});

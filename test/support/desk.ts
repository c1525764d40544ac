import { TestBrowser } from './browser.js';
import { type OpenedPage, openPage } from './pages.js';
import { type FleetHandle, type Service, startService } from './service.js';

export interface Desk {
  browser: TestBrowser;
  service: () => Service;
  fleet: () => FleetHandle;
  /** Opens a view of the desk, signed in as the fleet's manager unless by another token. */
  open: (path: string, options?: Parameters<typeof openPage>[2], token?: string) => Promise<OpenedPage>;
  /** Like `it`. Fails also when the browser complains. */
  test: (name: string, body: () => Promise<void>) => void;
}

/** For tests of the desk: a service, a new fleet for each test, and real pages. */
export function onDesk(at: string, prepareFleet: (fleet: FleetHandle) => Promise<void>): Desk {
  const browser = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;
  let opened: OpenedPage[] = [];
  beforeAll(async () => {
    service = await startService({ at });
  });
  afterAll(async () => {
    await browser.close();
    await service?.stop();
  });
  async function prepare(): Promise<void> {
    opened = [];
    fleet = await service.newFleet();
    await prepareFleet(fleet);
  }
  beforeEach(prepare);
  afterEach(async () => {
    const complaints = opened.flatMap((one) => one.complaints);
    for (const { close } of opened) await close();
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });
  return {
    browser,
    service: () => service,
    fleet: () => fleet,
    async open(path, options = {}, token = fleet.manager.token) {
      const page = await openPage(await browser.get(), `${service.url}${path}`, options);
      opened.push(page);
      await page.page.locator('input[type=password]').fill(token);
      await page.page.keyboard.press('Enter');
      await page.page.locator('input[type=password]').waitFor({ state: 'detached' });
      return page;
    },
    test: browser.tests(prepare),
  };
}

import { TestBrowser } from '../../support/browser.js';
import { type OpenedPage, openPage } from '../../support/pages.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('a sign-in link', () => {
  const browser = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;
  let opened: OpenedPage[];

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  afterAll(async () => {
    await browser.close();
    await service?.stop();
  });

  beforeEach(prepare);
  async function prepare(): Promise<void> {
    opened = [];
    fleet = await service.newFleet();
    await postScenario(fleet);
  }
  afterEach(async () => {
    const complaints = opened.flatMap((one) => one.complaints);
    for (const { close } of opened) await close();
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });

  async function open(address: string): Promise<OpenedPage> {
    const page = await openPage(await browser.get(), address, { locale: 'en-US' });
    opened.push(page);
    return page;
  }

  async function linkFor(role: string): Promise<string> {
    const { body: person } = await fleet.manager.post('/v1/people', { name: `A ${role}`, role });
    const { body } = await fleet.manager.post(`/v1/people/${person.id}/sign-in-links`);
    return service.url + new URL(body.url).pathname + new URL(body.url).hash;
  }

  const test = browser.tests(prepare);

  test('opens the phone page for a mechanic, who stays signed in, and works once', async () => {
    const link = await linkFor('mechanic');
    const { page } = await open(link);
    await page.waitForURL('**/phone');
    await page.getByRole('heading', { level: 1 }).waitFor();
    expect(await page.getByLabel('Token').count()).toBe(0);
    expect(await page.evaluate('document.cookie')).toBe('');
    const later = await page.context().newPage();
    await later.goto(`${service.url}/phone`);
    await later.getByRole('heading', { level: 1 }).waitFor();
    expect(await later.getByLabel('Token').count()).toBe(0);
    const second = await open(link);
    await second.page.getByText('ask for a new one').waitFor();
    expect(second.page.url()).toBe(`${service.url}/sign-in`);
    expect(await second.findings()).toEqual([]);
  });

  test('opens the desk for a manager, until that session is ended', async () => {
    const { page } = await open(await linkFor('manager'));
    await page.waitForURL('**/desk/today');
    await page.locator('[data-vehicle]').first().waitFor();
    const { body: people } = await fleet.manager.get('/v1/people');
    const { body } = await fleet.manager.get(`/v1/sessions?personId=${people.items[0].id}`);
    expect((await fleet.manager.delete(`/v1/sessions/${body.items[0].id}`)).status).toBe(204);
    await page.reload();
    await page.getByLabel('Token').waitFor();
  });
});

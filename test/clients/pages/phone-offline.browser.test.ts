import type { BrowserContext, Page } from 'playwright-core';
import { TestBrowser } from '../../support/browser.js';
import { picture } from '../../support/pictures.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
/** When the work was done, with no network. */
const DONE = '2026-04-02T13:00:00.000Z';
const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true };

describe('the phone without a network', () => {
  const browser = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;
  let context: BrowserContext;
  let vehicleId: string;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(async () => {
    await browser.close();
    await service?.stop();
  });

  beforeEach(prepare);
  async function prepare(): Promise<void> {
    fleet = await service.newFleet();
    ({ vehicleId } = await postScenario(fleet));
    context = await (await browser.get()).newContext(PHONE);
    context.setDefaultTimeout(15000);
  }
  afterEach(() => context.close());

  const test = browser.tests(prepare);
  const reports = async () => (await fleet.manager.get('/v1/job-reports')).body.items;

  async function open(path: string, at: string): Promise<Page> {
    const page = await context.newPage();
    await page.clock.setFixedTime(at);
    await page.goto(`${service.url}${path}`);
    return page;
  }

  async function signIn(page: Page, token = fleet.mechanic.token): Promise<void> {
    await page.getByLabel('Token').fill(token);
    await page.keyboard.press('Enter');
    await page.getByLabel('Unit number').waitFor();
  }

  /** Opens the page with a network, and waits until the phone has kept all that it needs. */
  async function openAndKeep(): Promise<Page> {
    const page = await open('/phone', DONE);
    await signIn(page);
    await page.getByRole('link', { name: /R-114/ }).click();
    await page.getByRole('link', { name: 'Report a job' }).waitFor();
    await page.evaluate('navigator.serviceWorker.ready.then(() => undefined)');
    return page;
  }

  test('keeps what is typed and what is finished, and sends it once, with its photo, as done at its time', async () => {
    const first = await openAndKeep();
    await first.getByRole('link', { name: 'Report a job' }).click();
    await first.getByRole('checkbox', { name: /water pump: replace/i }).check();
    await context.setOffline(true);
    await first.getByLabel('Odometer', { exact: true }).fill('61000');
    await first
      .locator('input[type=file]')
      .setInputFiles({ name: 'seal.jpg', mimeType: 'image/jpeg', buffer: await picture('jpeg') });
    await first.getByRole('button', { name: 'Remove seal.jpg' }).waitFor();
    await first.close();

    const second = await open(`/phone/v/${vehicleId}/report`, DONE);
    await second.getByText('No answer from the service.').first().waitFor();
    expect(await second.getByLabel('Odometer', { exact: true }).inputValue()).toBe('61000');
    expect(await second.getByRole('checkbox', { name: /water pump: replace/i }).isChecked()).toBe(true);
    await second.getByRole('button', { name: 'Remove seal.jpg' }).waitFor();
    await second.getByRole('button', { name: 'Check and send' }).click();
    await second.getByRole('button', { name: 'Send', exact: true }).click();
    await second.getByText('On this phone, not sent yet.').waitFor();
    await second.getByText('1 report not sent yet').waitFor();
    await second.close();

    const third = await open('/phone', NOW);
    await third.getByText('1 report not sent yet').waitFor();
    expect(await reports()).toEqual([]);
    await context.setOffline(false);
    await third.getByText('Everything is sent').waitFor();
    const sent = await reports();
    expect(sent).toMatchObject([{ performedAt: DONE, odometer: { value: 61000 } }]);
    expect(sent[0].attachments).toHaveLength(1);
    await third.reload();
    await third.getByText('Everything is sent').waitFor();
    expect(await reports()).toHaveLength(1);
  });

  test('sends a report again whose answer was lost, and it counts once', async () => {
    const page = await openAndKeep();
    let lost = 0;
    await page.route('**/v1/job-reports', async (route) => {
      if (route.request().method() !== 'POST' || lost > 0) return route.continue();
      lost++;
      await route.fetch();
      await route.abort('connectionreset');
    });
    await page.getByRole('link', { name: 'Report a job' }).click();
    await page.getByRole('checkbox', { name: /water pump: replace/i }).check();
    await page.getByLabel('Odometer', { exact: true }).fill('61000');
    await page.getByRole('button', { name: 'Check and send' }).click();
    await page.getByRole('button', { name: 'Send', exact: true }).click();
    await page.getByText('The service has it.').waitFor();
    expect(lost).toBe(1);
    expect(await reports()).toHaveLength(1);
  });

  test('keeps a report that was refused, says why at its field, and sends it when it is put right', async () => {
    const page = await openAndKeep();
    await page.getByRole('link', { name: 'Report a job' }).click();
    await page.getByRole('checkbox', { name: /water pump: replace/i }).check();
    await page.getByLabel('Odometer', { exact: true }).fill('61000');
    await page.getByLabel('Name or badge').fill('x'.repeat(130));
    await page.getByRole('button', { name: 'Check and send' }).click();
    await page.getByRole('button', { name: 'Send', exact: true }).click();
    await page.getByText('Not accepted. It is still on this phone.').waitFor();
    await page.getByText('1 report needs a correction').waitFor();
    await page.getByRole('link', { name: 'Correct it' }).click();
    await page.getByLabel('Name or badge').fill('badge 7');
    await page.locator('ul.fault', { hasText: '120' }).waitFor();
    await page.getByRole('button', { name: 'Check and send' }).click();
    await page.getByRole('button', { name: 'Send', exact: true }).click();
    await page.getByText('The service has it.').waitFor();
    expect(await reports()).toMatchObject([{ performedBy: 'badge 7', performedAt: DONE }]);
  });

  test("shows nobody another's reports, and keeps them until their own person is back", async () => {
    const page = await openAndKeep();
    await context.setOffline(true);
    await page.getByRole('link', { name: 'Coolant level' }).click();
    await page.getByRole('button', { name: 'At MAX' }).click();
    await page.getByText('1 report not sent yet').waitFor();
    await page.getByRole('button', { name: 'Sign out' }).click();
    await context.setOffline(false);
    await page.clock.setFixedTime(NOW);
    await page.goto(`${service.url}/phone`);
    await signIn(page, fleet.manager.token);
    await page.getByText('Everything is sent').waitFor();
    await page.getByRole('button', { name: 'Sign out' }).click();
    expect(await reports()).toEqual([]);
    await signIn(page);
    await page.getByText('Everything is sent').waitFor();
    expect(await reports()).toHaveLength(1);
  });
});

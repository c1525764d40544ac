import type { Page } from 'playwright-core';
import { TestBrowser } from '../../../support/browser.js';
import { type OpenedPage, openPage } from '../../../support/pages.js';
import { type Receiver, startReceiver, until } from '../../../support/receiver.js';
import { type FleetHandle, type Service, startService } from '../../../support/service.js';
import { sheetXml, workbook } from '../../../support/workbooks.js';

/** A list as a county keeps it: a title, yards that nobody has made, days and counters as typed. */
const countyBook = () =>
  workbook({
    Fleet: sheetXml([
      ['County of Example', null, null, null, null],
      ['Fleet list'],
      null,
      ['Unit #', 'Yard', 'In service', 'Odometer', 'Read date'],
      ['CX-038', 'North Yard', '3/14/2021', '81,370', '3/30/2026'],
      ['CX-039', 'North Yard', '3/4/2021', '60,120', '3/30/2026'],
      ['CX-040', 'South Yard', '12/20/2020', '45,300', '3/31/2026'],
      ['Total', null, null, '186,790', null],
    ]),
  });

describe('from a spreadsheet to the first reminder', () => {
  const browser = new TestBrowser();
  let service: Service;
  let receiver: Receiver;
  let fleet: FleetHandle;
  let opened: OpenedPage;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z', withWorker: true });
    receiver = await startReceiver();
  });
  afterAll(async () => {
    await browser.close();
    await receiver?.close();
    await service?.stop();
  });
  async function prepare(): Promise<void> {
    receiver.received.length = 0;
    fleet = await service.newFleet({ units: 'us' });
    opened = await openPage(await browser.get(), `${service.url}/desk`, { locale: 'en-US' });
  }
  beforeEach(prepare);
  afterEach(async () => {
    await opened.close();
    const { complaints } = opened;
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });

  const stepOf = (page: Page, name: string) =>
    page.locator('li.step').filter({ has: page.getByRole('heading', { name }) });
  const isDone = (page: Page, name: string) =>
    stepOf(page, name).getByText('done', { exact: true }).waitFor();
  const openQuestions = (page: Page): Promise<string[]> =>
    page
      .locator('fieldset[data-open=true]')
      .evaluateAll((all) => all.map((one) => one.getAttribute('data-question') ?? ''));
  const answer = (page: Page, question: string, option: RegExp) =>
    page.locator(`fieldset[data-question="${question}"]`).getByLabel(option).check();

  async function take(page: Page, count: number): Promise<void> {
    await page.getByRole('button', { name: 'Check all rows' }).click();
    await page.getByText(`${count} rows are new and good.`).waitFor();
    await page.getByRole('button', { name: `Take these ${count} rows` }).click();
    await page.getByRole('heading', { name: `${count} rows were taken` }).waitFor();
  }

  async function sendFile(page: Page): Promise<void> {
    const file = { name: 'county.xlsx', mimeType: '', buffer: await countyBook() };
    await stepOf(page, 'The vehicles').getByLabel('Choose a file').setInputFiles(file);
    await page.getByRole('heading', { name: 'county.xlsx' }).waitFor();
    expect(await openQuestions(page)).toEqual(['names:depot']);
    await answer(page, 'names:depot', /Make these 2 depots/);
    await take(page, 3);
    // The same file holds the counters; what was answered is not asked again.
    await page.getByRole('button', { name: 'Odometer and hour readings' }).click();
    await page.locator('fieldset[data-open=true]').first().waitFor();
    expect(await openQuestions(page)).toEqual(['decimal:D']);
    await answer(page, 'decimal:D', /Decimal point/);
    await take(page, 3);
  }

  async function give(page: Page, step: string, label: string): Promise<void> {
    await stepOf(page, step).getByRole('combobox', { name: label, exact: true }).selectOption({ index: 1 });
    await stepOf(page, step).getByRole('button', { name: 'Give it to all that have none' }).click();
    await isDone(page, step);
  }

  const test = browser.tests(prepare);

  test('a new fleet gets there without a manual', async () => {
    const { page, findings } = opened;
    await page.locator('input[type=password]').fill(fleet.manager.token);
    await page.keyboard.press('Enter');
    await page.getByText('first steps are still open.').waitFor();
    await page.getByRole('link', { name: 'Do the first steps' }).click();
    await page.getByRole('checkbox', { name: 'Petrol light truck (ready-made)' }).check();
    await page.getByRole('button', { name: 'Take this set' }).click();
    expect(await findings()).toEqual([]);
    await sendFile(page);
    await page.getByRole('link', { name: 'First steps', exact: true }).click();
    await isDone(page, 'A depot');
    await give(page, 'A spec sheet for each vehicle', 'Spec sheet');
    await give(page, 'An interval plan for each vehicle', 'Interval plan');
    await isDone(page, 'Odometers and engine hours');
    const target = stepOf(page, 'Somebody who is reminded');
    await target.getByLabel('How').selectOption('webhook');
    await target.getByLabel('Address').fill(receiver.url);
    await target.getByRole('button', { name: 'Add this address' }).click();
    const secret = page.getByRole('dialog', { name: `Secret of ${receiver.url}` });
    expect(await secret.locator('input').inputValue()).toMatch(/^whsec_/);
    await secret.getByRole('button', { name: 'Close' }).click();
    await isDone(page, 'Somebody who is reminded');

    await page.getByRole('link', { name: 'Due', exact: true }).click();
    const row = page.locator('tr[data-line]').filter({ hasText: 'CX-038' }).first();
    await row.waitFor();
    expect(await row.locator('.day').textContent()).toMatch(/\d{4}/);
    const { items } = (await fleet.manager.get('/v1/due-list')).body;
    const units = new Set(items.map(({ vehicle }: any) => vehicle.unitNumber));
    expect([...units].sort()).toEqual(['CX-038', 'CX-039', 'CX-040']);
    const isAboutUnits = ({ text }: { text: string }): boolean => /CX-03[89]|CX-040/.test(text);
    await until(
      () => receiver.received.some(isAboutUnits),
      60_000,
      () => 'no reminder arrived',
    );
  });
});

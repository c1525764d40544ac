import type { Page } from 'playwright-core';
import { type OpenedPage, openPage } from '../../support/pages.js';
import { TestBrowser } from '../../support/browser.js';
import { shot } from '../../support/shot.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true };
/** CSS pixels: what a finger in a glove hits. */
const TARGET = 44;

/** Whatever can be tapped and is smaller than a glove needs. */
const TOO_SMALL = `[...document.querySelectorAll('button, input, select, textarea, summary, a')]
  .filter((one) => one.checkVisibility() && !one.classList.contains('skip'))
  .filter((one) => {
    const { width, height } = (one.closest('label') ?? one).getBoundingClientRect();
    return width < ${TARGET} || height < ${TARGET};
  })
  .map((one) => one.outerHTML.slice(0, 120))`;

describe('the phone', () => {
  const browser = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let opened: OpenedPage[];

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(async () => {
    await browser.close();
    await service?.stop();
  });

  beforeEach(prepare);
  async function prepare(): Promise<void> {
    opened = [];
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
  }
  afterEach(async () => {
    const complaints = opened.flatMap((one) => one.complaints);
    for (const { close } of opened) await close();
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });

  async function open(path: string, options = {}): Promise<OpenedPage> {
    const page = await openPage(await browser.get(), `${service.url}${path}`, { ...PHONE, ...options });
    await page.page.clock.setFixedTime(NOW);
    opened.push(page);
    return page;
  }

  async function signIn(page: Page, token = fleet.manager.token): Promise<void> {
    await page.getByLabel('Token').fill(token);
    await page.keyboard.press('Enter');
  }

  const reports = async () => (await fleet.manager.get('/v1/job-reports')).body.items;
  const test = browser.tests(prepare);

  test('finds a vehicle by its number, judges while it is typed and tells what the service answers', async () => {
    const { page } = await open('/phone');
    await signIn(page);
    await page.getByLabel('Unit number').fill('r-11');
    await page.getByRole('link', { name: /R-114/ }).click();
    await page.getByRole('heading', { name: 'R-114' }).waitFor();
    await page.getByRole('link', { name: 'Report a job' }).click();
    await page.getByRole('checkbox', { name: /water pump: replace/i }).check();
    await page.getByLabel('Odometer', { exact: true }).fill('61000');

    const hold = page.getByRole('group', { name: 'Hold test' }).first();
    await hold.getByLabel('Gauge at the start', { exact: true }).fill('22');
    await hold.getByText('Still missing: Gauge at the end and Minutes').waitFor();
    await hold.getByLabel('Gauge at the end', { exact: true }).fill('15');
    await hold.getByLabel('Minutes', { exact: true }).fill('6');
    await hold.getByLabel('Gauge at the start: unit').selectOption('inHg');
    await hold.getByText('Fail', { exact: true }).waitFor();
    await hold.scrollIntoViewIfNeeded();
    await shot(page, 'phone-report');

    const torques = page.getByRole('group', { name: 'Torques: pump-to-cover' });
    await torques
      .getByLabel('Torque: unit')
      .or(torques.getByLabel('Wrench set to: unit'))
      .selectOption('N.m');
    await torques.getByLabel('Wrench set to', { exact: true }).fill('97');
    await torques.getByText('Was it 97 lbf·in?').waitFor();
    await torques.getByRole('button', { name: 'Yes, 97 lbf·in' }).click();
    await torques.getByText('Pass', { exact: true }).waitFor();

    await page.getByRole('button', { name: 'Yes', exact: true }).last().click();
    await page.getByRole('button', { name: 'Check and send' }).click();
    await page.getByRole('heading', { name: 'Readings without a value' }).waitFor();
    await page.getByRole('button', { name: 'Send', exact: true }).click();
    await page.getByText('The service has it.').waitFor();
    await page.locator('.warning').waitFor();
    const [report] = await reports();
    expect(await page.locator('.warning').textContent()).toBe(report.warning.text);
    expect(report.performedAt).toBe(new Date(NOW).toISOString());
    expect(report.lines).toMatchObject([{ component: 'water-pump', action: 'replace' }]);
    expect(report.readings.map((one: any) => [one.kind, one.evaluation.verdict]).toSorted()).toEqual([
      ['hold-test', 'fail'],
      ['torque-set', 'pass'],
    ]);
  });

  test('keeps a level in two taps, and lets a slip be taken back', async () => {
    const { page } = await open('/phone');
    await signIn(page);
    await page.getByRole('link', { name: /R-114/ }).click();
    await page.getByRole('link', { name: 'Coolant level' }).click();
    await page.getByRole('button', { name: 'Below MIN' }).click();
    await page.getByRole('button', { name: 'Take it back' }).click();
    await page.getByText('There is no such report on this phone.').waitFor();
    expect(await reports()).toEqual([]);
    await page.goBack();
    await page.getByRole('button', { name: 'Below MIN' }).click();
    await page.getByText('On this phone, not sent yet.').waitFor();
    await page.clock.setFixedTime(new Date(Date.parse(NOW) + 10_000));
    await page.getByRole('button', { name: 'Send now' }).click();
    await page.getByText('The service has it.').waitFor();
    const [report] = await reports();
    expect(report.readings).toMatchObject([{ kind: 'level-check', level: 'below-min' }]);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    test(`is within reach of everybody in gloves, ${colorScheme}`, async () => {
      const { page, findings } = await open('/phone', { colorScheme });
      const look = async (): Promise<void> => {
        expect(await findings()).toEqual([]);
        expect(await page.evaluate(TOO_SMALL)).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360);
      };
      await page.getByLabel('Token').waitFor();
      await look();
      await signIn(page);
      await page.getByRole('link', { name: /R-114/ }).waitFor();
      await look();
      for (const path of ['', '/report', '/level', '/top-up']) {
        await page.goto(`${service.url}/phone/v/${scenario.vehicleId}${path}`);
        await page.getByRole('heading', { name: /R-114/ }).waitFor();
        await look();
      }
      await page.goto(`${service.url}/phone/outbox`);
      await page.getByRole('heading', { name: 'Outbox' }).waitFor();
      await look();
    });

  test('speaks Spanish, takes nothing from another place and nothing inline', async () => {
    const answer = await fetch(`${service.url}/phone/v/1`);
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-security-policy')).not.toContain('unsafe');
    const { page, transferred } = await open('/phone', { locale: 'es-MX' });
    await signIn(page);
    await page.getByLabel('Número de unidad').waitFor();
    for (const { url } of transferred()) expect(new URL(url).origin).toBe(service.url);
  });
});

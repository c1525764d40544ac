import { TestBrowser } from '../../support/browser.js';
import { type OpenedPage, openPage } from '../../support/pages.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { shot } from '../../support/shot.js';
import { confirmedVisit } from '../../support/visit-plans.js';

const NOW = '2026-04-02T15:00:00Z';
const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true };

describe("a mechanic's day on the phone", () => {
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
    for (const { close } of opened) await close();
  });
  const test = browser.tests(prepare);

  async function add(unitNumber: string, more: Record<string, unknown> = {}): Promise<string> {
    const { depotId, specSheetId, intervalPlanId } = scenario;
    const vehicle = { unitNumber, depotId, specSheetId, intervalPlanId, inServiceOn: '2021-03-15', ...more };
    const { status, body } = await fleet.manager.post('/v1/vehicles', vehicle);
    expect([status, body.errors]).toEqual([201, undefined]);
    return body.id;
  }

  async function open(at: string, options = {}): Promise<OpenedPage> {
    const page = await openPage(await browser.get(), `${service.url}/phone`, { ...PHONE, ...options });
    opened.push(page);
    page.page.setDefaultTimeout(10_000);
    await page.page.clock.setFixedTime(at);
    await page.page.getByLabel('Token').fill(fleet.mechanic.token);
    await page.page.keyboard.press('Enter');
    return page;
  }

  test('shows what is unsafe first, then the visits, then what is due, with what each needs', async () => {
    const { visitId } = await confirmedVisit(service, fleet);
    const visit = (await fleet.manager.get(`/v1/visits/${visitId}`)).body;
    expect(visit.vehicle.unitNumber).toBe('R-114');
    await add('A-1');
    const unsafe = await add('Z-9');
    const defect = { vehicleId: unsafe, reportedAt: NOW, source: 'driver', what: 'Steam from the hood' };
    expect((await fleet.mechanic.post('/v1/defects', defect)).status).toBe(201);
    const { page, findings } = await open(`${visit.day}T15:00:00Z`);
    await page.getByRole('heading', { name: 'Planned visits' }).waitFor();
    const seen = await page.locator('main section h2, main section .unit').allTextContents();
    expect(seen).toEqual(['To do at once', 'Z-9', 'Planned visits', 'R-114', 'Due', 'A-1']);
    const planned = page.locator('section', { hasText: 'Planned visits' }).getByRole('link');
    await planned.getByText('Visit today').waitFor();
    for (const { component } of visit.lines.slice(0, 3))
      await planned
        .getByText(new RegExp(component.replaceAll('-', ' '), 'i'))
        .first()
        .waitFor();
    expect(await findings()).toEqual([]);
    await shot(page, 'phone-my-day');
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360);
    await page.clock.setFixedTime(new Date(Date.parse(`${visit.day}T15:00:00Z`) + 2 * 86_400_000));
    await page.reload();
    await page.getByText('Visit missed on').waitFor();
  });

  test('says whose visit it is', async () => {
    const { visitId } = await confirmedVisit(service, fleet);
    const visit = (await fleet.manager.get(`/v1/visits/${visitId}`)).body;
    const { body: kim } = await fleet.manager.post('/v1/people', { name: 'Kim Adeyemi', role: 'mechanic' });
    const assigned = await fleet.manager.post(`/v1/visits/${visitId}/assign`, { personId: kim.id });
    expect(assigned.status).toBe(200);
    const { page } = await open(`${visit.day}T15:00:00Z`);
    await page.getByRole('link', { name: /R-114/ }).getByText('Assigned to Kim Adeyemi').waitFor();
    const link = (await fleet.manager.post(`/v1/people/${kim.id}/sign-in-links`)).body.url;
    const own = await openPage(await browser.get(), `${service.url}/sign-in`, PHONE);
    opened.push(own);
    await own.page.clock.setFixedTime(`${visit.day}T15:00:00Z`);
    await own.page.goto(link);
    await own.page.reload();
    await own.page.getByRole('link', { name: /R-114/ }).getByText('Assigned to you').waitFor();
  });

  test('opens the card, the steps and the torques of a vehicle of the day without a network', async () => {
    await add('A-1', { duty: 'severe' });
    const { page } = await open(NOW);
    const labels = page.waitForResponse('**/v1/vehicle-labels?*');
    await page.getByRole('link', { name: /A-1/ }).waitFor();
    await (await labels).finished();
    await page.evaluate('navigator.serviceWorker.ready.then(() => undefined)');
    await page.context().setOffline(true);
    await page.reload();
    await page.getByText('No answer from the service.').first().waitFor();
    for (const unit of ['A-1', 'R-114']) {
      await page.getByRole('link', { name: new RegExp(unit) }).click();
      await page.getByRole('heading', { name: unit }).waitFor();
      await page.getByRole('heading', { name: 'Steps' }).waitFor();
      await page.getByRole('heading', { name: 'Torques for this job' }).waitFor();
      await page.getByRole('link', { name: 'My day' }).click();
    }
  });

  test('names the day in Spanish', async () => {
    const page = await openPage(await browser.get(), `${service.url}/phone`, { ...PHONE, locale: 'es-MX' });
    opened.push(page);
    await page.page.getByLabel('Token').fill(fleet.mechanic.token);
    await page.page.keyboard.press('Enter');
    await page.page.getByRole('heading', { name: 'Mi día' }).waitFor();
  });
});

import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { type MatterMaker, matterMaker } from '../../support/matters.js';
import { picture } from '../../support/pictures.js';
import { until } from '../../support/receiver.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { plannedVisits } from '../../support/visit-plans.js';

const NOW = '2026-04-02T15:00:00Z';
const READING = ['Today', 'Due', 'Vehicles', 'Visits', 'Alerts', 'Reports', 'Readings'];
const MANAGING = ['Files', 'People', 'Settings'];

describe('a role on the desk', () => {
  let scenario: Scenario;
  let maker: MatterMaker;
  let reportId: string;
  const { test, open, fleet, service } = onDesk(NOW, async (made) => {
    scenario = await postScenario(made);
    maker = await matterMaker(made, scenario);
    await maker.make('loss-alert', 'A-1');
    await maker.make('held-reading', 'B-1');
    await made.manager.post(`/v1/vehicles/${scenario.vehicleId}/label`);
    const job = goodJob(scenario.vehicleId, '2026-03-12T10:00:00Z', 53_700);
    reportId = (await made.mechanic.post('/v1/job-reports', job)).body.id;
    const photo = await picture('jpeg');
    await made.mechanic.send('POST', `/v1/job-reports/${reportId}/attachments`, photo, {
      'content-type': 'image/jpeg',
    });
  });

  const linksOf = (page: Page): Promise<string[]> =>
    page.getByRole('navigation', { name: 'Views' }).getByRole('link').allInnerTexts();

  /** What of a view can be pressed; a checkbox of a filter changes nothing. */
  const pressable = async (page: Page): Promise<string[]> => [
    ...(await page.locator('main').getByRole('button').allInnerTexts()),
    ...(await page.locator('main a.button').allInnerTexts()),
    ...(await page.locator('main table input').evaluateAll((all) => all.map(() => 'a box in a table'))),
  ];

  async function bookVisit(): Promise<string> {
    const plan = await plannedVisits(service(), fleet(), { from: '2026-04-06', to: '2026-05-01' });
    const { status } = await fleet().manager.post(`/v1/visit-plans/${plan.id}/confirm`);
    expect(status).toBe(200);
    return plan.visits[0].day;
  }

  /** Goes through the views, and returns what can be pressed in each. */
  async function throughViews(page: Page, visitOn: string): Promise<Record<string, string[]>> {
    const found: Record<string, string[]> = {};
    const look = async (name: string, waited: ReturnType<Page['locator']>): Promise<void> => {
      await waited.first().waitFor();
      await until(async () => (await page.locator('[aria-busy=true]').count()) === 0);
      found[name] = [...new Set(await pressable(page))];
    };
    const go = (name: string) =>
      page.getByRole('navigation', { name: 'Views' }).getByRole('link', { name, exact: true }).click();
    await look('Today', page.locator('[data-vehicle]'));
    await go('Due');
    await look('Due', page.locator('tr[data-line]'));
    await go('Vehicles');
    await look('Vehicles', page.locator('tr[data-line]'));
    await page.getByRole('link', { name: 'R-114', exact: true }).click();
    await page.getByAltText('Job of Mar 12, 2026').first().waitFor();
    await look('vehicle', page.getByRole('heading', { name: 'The vehicle' }));
    await go('Visits');
    await page.getByRole('heading', { level: 1, name: 'Visits' }).waitFor();
    await page.goto(`${service().url}/desk/visits?from=${visitOn}`);
    await look('Visits', page.locator('td li button'));
    await page.locator('td li button').first().click();
    found['visit'] = await page.getByRole('dialog').getByRole('button').allInnerTexts();
    await page.keyboard.press('Escape');
    await go('Alerts');
    await look('Alerts', page.locator('[data-alert]'));
    await go('Readings');
    await look('Readings', page.locator('[data-reading]'));
    await go('Reports');
    await page.getByRole('heading', { name: 'Reports' }).waitFor();
    await page.goto(`${service().url}/desk/reports/${reportId}`);
    await page.locator('.thumbnail img').waitFor();
    await look('report', page.locator('[data-reading]'));
    return found;
  }

  const forbidden = (page: Page): string[] => {
    const paths: string[] = [];
    page.on('response', (answer) => {
      if (answer.status() === 403) paths.push(new URL(answer.url()).pathname);
    });
    return paths;
  };

  for (const role of ['dashboard', 'mechanic'] as const)
    test(`is offered only what it may use: ${role}`, async () => {
      const visitOn = await bookVisit();
      const { page, findings } = await open('/desk', {}, fleet()[role].token);
      const refused = forbidden(page);
      await page.locator('[data-vehicle]').first().waitFor();
      const links = await linksOf(page);
      expect(links.filter((name) => READING.includes(name))).toEqual(READING);
      expect(links.filter((name) => MANAGING.includes(name))).toEqual([]);
      const found = await throughViews(page, visitOn);
      expect(found).toEqual(EXPECTED[role]);
      // Nothing was asked for that the service refuses.
      expect(refused).toEqual([]);
      expect(await findings()).toEqual([]);
    });

  test('is told who may open a view that is not for it, and asks the service nothing', async () => {
    const { page, findings } = await open('/desk/files', {}, fleet().dashboard.token);
    const refused = forbidden(page);
    for (const [path, name] of [
      ['files', 'Files'],
      ['people', 'People'],
      ['settings', 'Settings'],
      ['first-steps', 'First steps'],
      ['vehicles/new', 'Add a vehicle'],
      ['visits/plans/0198', 'Visits'],
    ]) {
      await page.goto(`${service().url}/desk/${path}`);
      await page.getByRole('heading', { level: 1, name }).waitFor();
      await page.getByText('Only managers may open this view.').waitFor();
      await page.getByText('You are signed in as: Reader.').waitFor();
      expect(await pressable(page)).toEqual([]);
      expect(await findings()).toEqual([]);
    }
    expect(refused).toEqual([]);
  });

  test('that may use no view is led to the phone page', async () => {
    const token = (await fleet().manager.post('/v1/tokens', { name: 'Van 3', role: 'driver' })).body;
    const { page, findings } = await open('/desk', { locale: 'es-MX' }, token.token);
    await page.getByText('Usted inició sesión como: Conductor.').waitFor();
    expect(
      await page.getByRole('link', { name: 'Ir a la página para el teléfono' }).getAttribute('href'),
    ).toBe('/phone');
    expect(await findings()).toEqual([]);
  });

  test('bound to depots sees those alone', async () => {
    const depot = (await fleet().manager.post('/v1/depots', { name: 'Harbour' })).body;
    const vehicle = { unitNumber: 'H-7', depotId: depot.id, intervalPlanId: scenario.intervalPlanId };
    const made = (await fleet().manager.post('/v1/vehicles', { ...vehicle, inServiceOn: '2021-03-15' })).body;
    const bound = { name: 'harbour', role: 'mechanic', depotIds: [depot.id] };
    const { token } = (await fleet().manager.post('/v1/tokens', bound)).body;
    const { page } = await open('/desk/due?state=late,due,window,not-due,no-baseline', {}, token);
    await page.locator('tr[data-line]').first().waitFor();
    expect(new Set(await page.locator('tr[data-line] .unit').allTextContents())).toEqual(new Set(['H-7']));
    expect(await page.getByLabel('Depot').first().locator('option').allInnerTexts()).toEqual([
      ...['All depots', 'Harbour'],
    ]);
    await page.goto(`${service().url}/desk/vehicles/${made.id}/job-card`);
    await page.frameLocator('iframe').getByRole('heading', { level: 1, name: 'H-7' }).waitFor();
    await page.goto(`${service().url}/desk/vehicles/${scenario.vehicleId}`);
    await page.getByRole('button', { name: 'Try again' }).waitFor();
    expect(await page.getByText('R-114').count()).toBe(0);
  });
});

/** What each role can press, view by view. What only shows more is among it. */
const READ = {
  ...{ Today: ['Job card'], Due: [], Vehicles: [], vehicle: [] },
  ...{ Visits: ['R-114, 0.6 h\nNobody yet'], visit: ['Close'], Alerts: [], Readings: ['What is around it'] },
  // The photo, which opens large.
  report: [''],
};
const EXPECTED = {
  dashboard: READ,
  mechanic: {
    ...READ,
    Today: ['Acknowledge…', 'Shelve…', 'Job card', 'Report the job'],
    vehicle: ['Labels to print'],
    Alerts: ['Acknowledge…', 'Shelve…'],
  },
};

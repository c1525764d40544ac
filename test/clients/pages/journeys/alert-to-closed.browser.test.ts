import type { Page } from 'playwright-core';
import { onDesk } from '../../../support/desk.js';
import { type MatterMaker, matterMaker } from '../../../support/matters.js';
import { postScenario } from '../../../support/scenario.js';
import { shot } from '../../../support/shot.js';
import { solveAsWorker } from '../../../support/visit-plans.js';

// A Thursday.
const NOW = '2026-04-02T20:00:00Z';

/** A pressure test that passes after the work. */
const PASSED = {
  ...{ kind: 'hold-test', method: 'pressure', minutes: 5, wet: true },
  ...{ start: { value: 16, unit: 'psi' }, end: { value: 16, unit: 'psi' } },
  gaugeResolution: { value: 0.1, unit: 'psi' },
  ...{ startTemperature: { value: 64, unit: 'F' }, endTemperature: { value: 64, unit: 'F' } },
};

describe('a manager, from an alert to nothing left to decide', () => {
  let maker: MatterMaker;
  const { test, open, fleet, service } = onDesk(NOW, async (made) => {
    maker = await matterMaker(made, await postScenario(made, { inServiceOn: '2026-03-01' }));
  });

  const of = (page: Page, unit: string) => page.locator('[data-vehicle]').filter({ hasText: unit });

  /** A vehicle whose belt is overdue, and which keeps losing coolant. */
  async function losing(unit: string): Promise<string> {
    await maker.make('late', unit);
    const { body } = await fleet().manager.get(`/v1/vehicles?q=${unit}`);
    const [{ id }] = body.items;
    for (const day of ['10', '20', '28']) {
      const { status } = await fleet().mechanic.post(`/v1/vehicles/${id}/readings`, {
        ...{ kind: 'top-up', takenAt: `2026-03-${day}T12:00:00Z`, toMark: true, planned: false },
        added: { value: 1.5, unit: 'qt' },
      });
      expect(status).toBe(201);
    }
    return id;
  }

  /** Makes a plan of the next two weeks on the page, and books it. */
  async function book(page: Page): Promise<void> {
    await page.getByRole('button', { name: 'Make a plan…' }).click();
    await page.getByLabel('First day').fill('2026-04-06');
    await page.getByLabel('Last day').fill('2026-04-17');
    await page.getByLabel('Cost of an hour of labour').fill('80');
    await page.getByLabel('Cost of a day that a vehicle').fill('200');
    await page.getByLabel('Cost of each day that a job').fill('50');
    await page.keyboard.press('Enter');
    await page.getByText('Working out the plan').waitFor();
    const [asked] = (await fleet().manager.get('/v1/visit-plans')).body.items;
    await solveAsWorker(service(), fleet().fleetId, asked.id);
    await page.getByRole('button', { name: 'Book these visits…' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Book them' }).click();
    await page.getByRole('heading', { name: 'Visits', exact: true }).waitFor();
  }

  test('sees, plans, hands over, reads what was done, and closes', async () => {
    const vehicleId = await losing('L-7');
    const { body: kim } = await fleet().manager.post('/v1/people', {
      ...{ name: 'Kim Oduya', badge: '7', role: 'mechanic' },
    });
    const { page } = await open('/desk', { viewport: { width: 1280, height: 800 } });

    // The alert and the overdue belt stand together at the vehicle.
    await of(page, 'L-7').getByText('Overdue', { exact: true }).waitFor();
    await shot(page, 'desk-today');
    await of(page, 'L-7')
      .getByRole('button', { name: /^Acknowledge/ })
      .click();
    await page.getByRole('dialog').getByLabel('Note').fill('Pressure test at the visit.');
    await page.keyboard.press('Enter');
    await of(page, 'L-7')
      .getByRole('button', { name: /^Acknowledge/ })
      .waitFor({ state: 'detached' });

    // The visit: booked, and handed to somebody.
    await of(page, 'L-7')
      .getByRole('link', { name: /^Plan a visit/ })
      .click();
    await book(page);
    await page.getByRole('button', { name: /L-7.*Nobody yet/ }).click();
    await page.getByLabel('Who does it').selectOption('Kim Oduya');
    await page.getByRole('button', { name: 'Assign' }).click();
    await page.getByRole('button', { name: /For Kim Oduya/ }).waitFor();
    await shot(page, 'desk-visits');
    const [visit] = (await fleet().manager.get(`/v1/visits?assignedTo=${kim.id}`)).body.items;
    expect(visit.lines).toHaveLength(1);

    // The day of the visit: a hose is found, replaced and tested.
    service().clock.moveTo(`${visit.day}T20:00:00Z`);
    const [{ component, item, action }] = visit.lines;
    const report = await fleet().mechanic.post('/v1/job-reports', {
      ...{ vehicleId, performedAt: `${visit.day}T19:00:00Z`, performedBy: 'badge 7' },
      lines: [
        { component, action, ...(item && { item }) },
        { component: 'lower-hose', action: 'replace', finding: 'wet at the clamp', failed: true },
      ],
      readings: [PASSED],
      releasedForService: 'yes',
    });
    expect([report.status, report.body.outcome?.verdict]).toEqual([201, 'pass']);

    // What was done is read, and nothing is left of the alert.
    await page.getByRole('link', { name: 'Reports' }).click();
    const row = page.locator('[data-report]').filter({ hasText: 'L-7' });
    await row.getByText('lower hose: replace').waitFor();
    await page.getByRole('link', { name: 'Alerts' }).click();
    // The replaced hose and the passed test have cleared it.
    await page.getByText('No alerts like this.').waitFor();
    await page.getByLabel('State').selectOption('Cleared');
    await page.locator('[data-alert]').filter({ hasText: 'L-7' }).waitFor();

    await page.getByRole('link', { name: 'Today' }).click();
    await page.getByText('Nothing needs a decision now.').waitFor();
    expect((await fleet().manager.get(`/v1/visits/${visit.id}`)).body.state).toBe('done');
    const { body: alerts } = await fleet().manager.get('/v1/loss-alerts?status=cleared');
    expect(alerts.items).toHaveLength(1);
  });
});

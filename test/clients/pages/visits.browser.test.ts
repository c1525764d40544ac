import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { postScenario } from '../../support/scenario.js';
import { plannedVisits, solveAsWorker } from '../../support/visit-plans.js';

// A Thursday.
const NOW = '2026-04-02T15:00:00Z';
const CALENDAR = '/desk/visits?from=2026-04-02';

describe('visits on the desk', () => {
  let depotId: string;
  const { test, open, fleet, service } = onDesk(NOW, async (made) => {
    ({ depotId } = await postScenario(made));
  });

  const planned = (): Promise<any> =>
    plannedVisits(service(), fleet(), { from: '2026-04-06', to: '2026-05-01' });
  async function booked(): Promise<any> {
    const plan = await planned();
    await fleet().manager.post(`/v1/visit-plans/${plan.id}/confirm`);
    return plan.visits[0];
  }
  const planOf = async (id: string): Promise<any> =>
    (await fleet().manager.get(`/v1/visit-plans/${id}`)).body;
  const chip = (page: Page, day: string) => page.locator(`td[data-day="${day}"] li button`);

  test('makes a plan, says what it costs and what a better one could save, and books it', async () => {
    const { page } = await open(CALENDAR);
    await page.getByText('No visit is booked in these four weeks.').waitFor();
    await page.getByRole('button', { name: 'Make a plan…' }).click();
    await page.getByLabel('First day').fill('2026-04-06');
    await page.getByLabel('Last day').fill('2026-05-01');
    await page.getByLabel('Cost of an hour of labour').fill('80');
    await page.getByRole('button', { name: 'Work out the plan' }).click();
    // What is missing is said beside its field, and what was typed stays.
    await page.locator('dialog .field .fault').first().waitFor();
    expect(await page.getByLabel('Cost of an hour of labour').inputValue()).toBe('80');
    await page.getByLabel('Cost of a day that a vehicle').fill('200');
    await page.getByLabel('Cost of each day that a job').fill('50');
    await page.keyboard.press('Enter');
    await page.getByText('Working out the plan').waitFor();
    const [asked] = (await fleet().manager.get('/v1/visit-plans')).body.items;
    await solveAsWorker(service(), fleet().fleetId, asked.id);
    await page.getByText(/^This plan costs [\d,]+\. Doing each job/).waitFor();
    await page.getByText(/^No other plan could save more than [\d.]+ % of this cost\.$/).waitFor();
    await page.getByRole('button', { name: 'Book these visits…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Book these visits…' });
    await dialog.getByText('One visit is booked.').waitFor();
    await dialog.getByText('You can cancel each visit').waitFor();
    await dialog.getByRole('button', { name: 'Book them' }).click();
    await page.getByRole('heading', { name: 'Visits', exact: true }).waitFor();
    await page.getByRole('button', { name: /R-114/ }).waitFor();
    expect((await fleet().manager.get('/v1/visits')).body.items).toHaveLength(1);
    const list = page.getByRole('link', { name: 'Pick list' });
    expect(await list.getAttribute('href')).toBe(
      `/v1/pick-list?depotId=${depotId}&on=2026-04-06&format=html`,
    );
  });

  test('moves a visit by dragging it, and by keyboard', async () => {
    const plan = await planned();
    const { page } = await open(`/desk/visits/plans/${plan.id}`);
    await page.locator('td[data-day="2026-04-06"] li').dragTo(page.locator('td[data-day="2026-04-08"]'));
    await page.getByText('R-114 now comes in on Wed, Apr 8, 2026.').waitFor();
    expect((await planOf(plan.id)).visits[0]).toMatchObject({ day: '2026-04-08', pinned: true });
    await page.getByText('You have changed the plan.').waitFor();
    await chip(page, '2026-04-08').focus();
    await page.keyboard.press('Enter');
    await page.getByLabel('Day of the visit').fill('2026-04-10');
    await page.keyboard.press('Enter');
    await chip(page, '2026-04-10').waitFor();
    expect((await planOf(plan.id)).visits[0].day).toBe('2026-04-10');
    // A day outside the plan is refused, in the service's words beside the field.
    await chip(page, '2026-04-10').click();
    await page.getByLabel('Day of the visit').fill('2026-06-10');
    await page.keyboard.press('Enter');
    await page.locator('dialog .field .fault').waitFor();
    expect((await planOf(plan.id)).visits[0].day).toBe('2026-04-10');
  });

  test('pins a visit, leaves it out and puts it back', async () => {
    const plan = await planned();
    const { page } = await open(`/desk/visits/plans/${plan.id}`);
    const press = async (name: string): Promise<void> => {
      await chip(page, '2026-04-06').click();
      await page.getByRole('button', { name, exact: true }).click();
    };
    await press('Keep on this day');
    await page.getByText('Stays on this day').waitFor();
    expect((await planOf(plan.id)).visits[0].pinned).toBe(true);
    await press('Leave out');
    await page.getByText('Left out', { exact: true }).waitFor();
    expect((await planOf(plan.id)).visits[0]).toMatchObject({ dropped: true });
    await press('Put back in');
    await page.getByText('Left out', { exact: true }).waitFor({ state: 'detached' });
    expect((await planOf(plan.id)).visits[0].dropped).toBe(false);
  });

  test('assigns a visit to a person who works there, and cancels it with the reason', async () => {
    const visit = await booked();
    const { manager } = fleet();
    await manager.post('/v1/people', { name: 'Kim Oduya', role: 'mechanic' });
    await manager.post('/v1/people', { name: 'Dee Drive', role: 'driver' });
    const { page } = await open(CALENDAR);
    await page.getByRole('button', { name: /Nobody yet/ }).click();
    expect(await page.getByLabel('Who does it').getByRole('option').allTextContents()).toEqual([
      ...['Nobody yet', 'Kim Oduya'],
    ]);
    await page.getByLabel('Who does it').selectOption('Kim Oduya');
    await page.getByRole('button', { name: 'Assign' }).click();
    await page.getByRole('button', { name: /For Kim Oduya/ }).waitFor();
    const shown = async (): Promise<any> => (await manager.get(`/v1/visits/${visit.id}`)).body;
    expect((await shown()).assignedTo.name).toBe('Kim Oduya');
    await page.getByRole('button', { name: /For Kim Oduya/ }).click();
    await page.getByText('A cancelled visit cannot be brought back').waitFor();
    await page.getByRole('button', { name: 'Cancel this visit' }).click();
    await page.locator('dialog .field .fault').waitFor();
    await page.getByLabel('Why, for whoever asks later').fill('no part');
    await page.getByRole('button', { name: 'Cancel this visit' }).click();
    await page.getByText('No visit is booked in these four weeks.').waitFor();
    expect(await shown()).toMatchObject({ state: 'cancelled', cancelReason: 'no part' });
  });

  test('can be read by everybody, at every width, and in Spanish', async () => {
    await booked();
    for (const width of [360, 1280])
      for (const colorScheme of ['light', 'dark'] as const) {
        const { page, findings } = await open(CALENDAR, { viewport: { width, height: 800 }, colorScheme });
        await page.getByRole('button', { name: /R-114/ }).waitFor();
        expect([width, colorScheme, await findings()]).toEqual([width, colorScheme, []]);
        await page.close();
      }
    await fleet().manager.post('/v1/depots', { name: 'Valle' });
    const { page, findings } = await open(CALENDAR, { locale: 'es-MX' });
    await page.getByRole('heading', { name: 'Visitas' }).waitFor();
    await page.getByText('Nadie todavía').waitFor();
    expect(await findings()).toEqual([]);
  });
});

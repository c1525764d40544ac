import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { postScenario, type Scenario } from '../../support/scenario.js';

const NOW = '2026-04-02T15:00:00Z';

describe('the vehicles on the desk', () => {
  let scenario: Scenario;
  const { test, open, fleet } = onDesk(NOW, async (made) => {
    scenario = await postScenario(made, { make: 'Harrow', model: 'H40', modelYear: 2019 });
  });

  const rows = (page: Page) => page.locator('table.vehicles tbody tr');
  const units = (page: Page): Promise<string[]> => page.locator('table.vehicles .unit').allTextContents();

  async function add(vehicle: Record<string, unknown>): Promise<string> {
    const { status, body } = await fleet().manager.post('/v1/vehicles', vehicle);
    expect(status).toBe(201);
    return body.id;
  }

  async function addMany(count: number): Promise<void> {
    const lines = Array.from({ length: count }, (_, number) => `T-${1000 + number},Harrow`);
    const csv = `unitNumber,make\n${lines.join('\n')}\n`;
    const answer = await fleet().manager.send('POST', '/v1/vehicles/import', csv, {
      'content-type': 'text/csv',
    });
    expect(answer.body.accepted).toBe(count);
  }

  test('are found by what somebody types, and by what they lack, with the filters in the address', async () => {
    await add({ unitNumber: 'CX-038', vin: 'WXY11111011111111' });
    await add({ unitNumber: 'CX-139', intervalPlanId: scenario.intervalPlanId });
    const { page } = await open('/desk/vehicles');
    await rows(page).nth(2).waitFor();
    expect(await units(page)).toEqual(['Unit', 'CX-038', 'CX-139', 'R-114']);
    await page.getByLabel('Unit number, VIN, make or model').fill('cx 038');
    await page.waitForURL(/q=cx\+038/);
    await rows(page).filter({ hasText: 'R-114' }).waitFor({ state: 'detached' });
    expect(await rows(page).count()).toBe(1);
    await page.getByLabel('Unit number, VIN, make or model').fill('');
    await page.getByLabel('What is missing').selectOption('plan');
    await page.waitForURL(/\?without=plan$/);
    await rows(page).filter({ hasText: 'R-114' }).waitFor({ state: 'detached' });
    expect(await units(page)).toEqual(['Unit', 'CX-038']);
    await rows(page).filter({ hasText: 'No interval plan. No spec sheet.' }).waitFor();
    await page.reload();
    await rows(page).first().waitFor();
    expect(await page.getByLabel('What is missing').inputValue()).toBe('plan');
    await page.getByLabel('What is missing').selectOption('');
    await page.getByRole('combobox', { name: 'Depot' }).selectOption({ label: 'Ridge' });
    await rows(page).filter({ hasText: 'CX-038' }).waitFor({ state: 'detached' });
    expect(await units(page)).toEqual(['Unit', 'R-114']);
    await page.getByLabel('Only those released with open safety findings').check();
    await page.getByText('No vehicle matches.').waitFor();
  });

  test('come a page at a time, and none twice', async () => {
    await addMany(130);
    const { page } = await open('/desk/vehicles');
    await page.getByText('100 vehicles shown. There are more.').waitFor();
    await page.getByRole('button', { name: 'Show more' }).click();
    await page.getByText('131 vehicles shown. That is all.').waitFor();
    expect(new Set(await units(page)).size).toBe(132);
  });

  test('open from the due list and from the vehicles, without loading the page anew', async () => {
    const { page } = await open('/desk/due');
    await page.evaluate('window.isTheSame = true');
    await page.getByRole('link', { name: 'R-114' }).first().click();
    await page.getByRole('heading', { name: 'R-114', level: 1 }).waitFor();
    expect(new URL(page.url()).pathname).toBe(`/desk/vehicles/${scenario.vehicleId}`);
    await page.getByRole('link', { name: 'All vehicles' }).click();
    await page.getByRole('link', { name: 'R-114' }).click();
    await page.getByRole('heading', { name: 'R-114', level: 1 }).waitFor();
    expect(await page.evaluate('window.isTheSame')).toBe(true);
  });
});

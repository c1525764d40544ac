import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';

const PLAN = {
  name: 'Box trucks',
  intervals: [
    {
      ...{ component: 'water-pump', action: 'replace', everyMonths: 96 },
      everyDistance: { value: 150_000, unit: 'km' },
      window: { days: 30 },
    },
    { component: 'coolant', action: 'replace', everyMonths: 60, severe: { everyMonths: 36 } },
  ],
};

describe('interval plans on the desk', () => {
  let id: string;
  const { test, open, fleet } = onDesk('2026-04-02T15:00:00Z', async ({ manager }) => {
    id = (await manager.post('/v1/interval-plans', PLAN)).body.id;
    for (const unitNumber of ['B-1', 'B-2'])
      await manager.post('/v1/vehicles', { unitNumber, intervalPlanId: id, inServiceOn: '2021-03-15' });
  });
  const stored = async () => (await fleet().manager.get(`/v1/interval-plans/${id}?units=si`)).body;
  const entry = (page: Page, name: string) => page.locator('details.entry', { hasText: name }).first();
  const openEntry = (page: Page, name: string) => entry(page, name).locator('summary').first().click();
  const months = (page: Page, name: string) => entry(page, name).getByLabel('Every so many months').first();

  test('says what a change does to the due list before it is kept, and keeps the rest as it is', async () => {
    const { page } = await open('/desk/settings');
    await page.getByRole('link', { name: 'Box trucks' }).click();
    await openEntry(page, 'water pump: replace');
    await months(page, 'water pump: replace').fill('48');
    await page.getByRole('button', { name: 'Save…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Save these changes of Box trucks?' });
    await dialog.getByText('water pump: replace: Every so many months: 96 → 48').waitFor();
    await dialog.getByText('2 due lines would come due today, 2 more late than now.').waitFor();
    await dialog.getByText('2 due lines would move to an earlier day.').waitFor();
    expect((await stored()).version).toBe(1);
    await dialog.getByRole('button', { name: 'Save them' }).click();
    await page.getByText('Saved.').waitFor();
    const [pump, coolant] = (await stored()).intervals;
    expect(pump).toMatchObject({ everyMonths: 48, everyDistance: { value: 150_000, unit: 'km' } });
    expect(coolant).toMatchObject({ everyMonths: 60, severe: { everyMonths: 36 } });
    await page.getByRole('button', { name: 'Save…' }).click();
    await page.getByText('Nothing has changed.').waitFor();
  });

  test('adds and removes intervals by keyboard, and says beside the field what is wrong', async () => {
    const { page } = await open(`/desk/settings/plans/${id}`);
    await page.getByRole('button', { name: 'Add an interval' }).focus();
    await page.keyboard.press('Enter');
    const part = page.getByLabel(/^Part/).last();
    await part.and(page.locator(':focus')).waitFor();
    await page.keyboard.type('idler');
    await page.getByRole('button', { name: 'Save…' }).focus();
    await page.keyboard.press('Enter');
    const action = page.getByLabel('What is done').last();
    await page.locator('.field', { has: action }).locator('.fault').last().waitFor();
    await action.and(page.locator(':focus')).waitFor();
    await action.selectOption('inspect');
    await entry(page, 'idler: inspect').getByLabel('Every so many months').first().fill('12');
    await openEntry(page, 'coolant: replace');
    await entry(page, 'coolant: replace').getByRole('button', { name: 'Remove coolant: replace' }).click();
    await page.getByRole('button', { name: 'Save…' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByText('New: idler: inspect').waitFor();
    await dialog.getByText('Removed: coolant: replace').waitFor();
    await dialog.getByText('2 due lines would be new.').waitFor();
    await dialog.getByText('2 due lines would leave the due list.').waitFor();
    await dialog.getByRole('button', { name: 'Save them' }).click();
    await page.getByText('Saved.').waitFor();
    const { intervals } = await stored();
    expect(intervals.map(({ component }: any) => component)).toEqual(['water-pump', 'idler']);
  });

  test('keeps what was typed when somebody else changed the plan meanwhile', async () => {
    const { page } = await open(`/desk/settings/plans/${id}`);
    await openEntry(page, 'coolant: replace');
    await months(page, 'coolant: replace').fill('48');
    const { intervals } = await stored();
    await fleet().manager.patch(`/v1/interval-plans/${id}`, {
      intervals: [{ ...intervals[0], everyMonths: 84 }, intervals[1]],
    });
    await page.getByRole('button', { name: 'Save…' }).click();
    await page.getByRole('alert').getByText('water pump: replace: Every so many months: 96 → 84').waitFor();
    expect(await months(page, 'coolant: replace').inputValue()).toBe('48');
    expect(await months(page, 'water pump: replace').inputValue()).toBe('84');
    await page.getByRole('button', { name: 'Save…' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Save them' }).click();
    await page.getByText('Saved.').waitFor();
    expect((await stored()).intervals.map(({ everyMonths }: any) => everyMonths)).toEqual([84, 48]);
  });

  test('makes a new plan from a copy, which is removed; one in use is not', async () => {
    const { page } = await open(`/desk/settings/plans/${id}`);
    await page.getByRole('link', { name: 'Begin a new plan with these intervals' }).click();
    const name = page.getByLabel('Name', { exact: true });
    await name.waitFor();
    expect(await name.inputValue()).toBe('Copy of Box trucks');
    await name.fill('Vans');
    await page.getByRole('button', { name: 'Add this interval plan' }).click();
    await page.getByRole('heading', { name: 'Vans' }).waitFor();
    const { items } = (await fleet().manager.get('/v1/interval-plans')).body;
    expect(items[1].intervals).toEqual(items[0].intervals);
    await page.getByRole('button', { name: 'Remove the interval plan Vans' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Remove it' }).click();
    await page.getByRole('heading', { name: 'Settings' }).waitFor();
    expect((await fleet().manager.get('/v1/interval-plans')).body.items).toHaveLength(1);
    await page.getByRole('link', { name: 'Box trucks' }).click();
    await page.getByRole('button', { name: 'Remove the interval plan Box trucks' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Remove it' }).click();
    const refused = await fleet().manager.delete(`/v1/interval-plans/${id}`);
    await page.getByRole('dialog').getByText(refused.body.detail).waitFor();
  });

  test('marks ready-made intervals until they are replaced or confirmed', async () => {
    const { body } = await fleet().manager.post('/v1/starter-sets', { sets: [{ set: 'bus' }] });
    const made = (await fleet().manager.get('/v1/interval-plans')).body.items.find(
      ({ starter }: any) => starter !== null,
    );
    expect(body).toBeDefined();
    const { page } = await open(`/desk/settings/plans/${made.id}`);
    const marks = page.locator('summary .note');
    await marks.first().waitFor();
    const count = await marks.count();
    expect(count).toBe(made.starter.unconfirmed.length);
    const place = made.intervals.findIndex(({ everyMonths }: any) => everyMonths !== null);
    const changing = page.locator('details.entry').nth(place);
    await changing.locator('summary').first().click();
    await changing.getByLabel('Every so many months').first().fill('17');
    await page.getByRole('button', { name: 'Save…' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Save them' }).click();
    await page.getByText('Saved.').waitFor();
    expect(await marks.count()).toBe(count - 1);
    await page.getByRole('button', { name: `Confirm the interval plan ${made.name}` }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'They are right' }).click();
    await marks.first().waitFor({ state: 'detached' });
    const after = (await fleet().manager.get(`/v1/interval-plans/${made.id}`)).body;
    expect(after.starter.unconfirmed).toEqual([]);
    expect(after.intervals[place].everyMonths).toBe(17);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`are within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open(`/desk/settings/plans/${id}`, options);
        await openEntry(page, 'coolant: replace');
        await months(page, 'coolant: replace').fill('0');
        await page.getByRole('button', { name: 'Save…' }).click();
        await page.locator('.field .fault').first().waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        await months(page, 'coolant: replace').fill('59');
        await page.getByRole('button', { name: 'Save…' }).click();
        await page.getByRole('dialog').waitFor();
        expect(await findings()).toEqual([]);
      });

  test('speak Spanish', async () => {
    const { page } = await open(`/desk/settings/plans/${id}`, { locale: 'es-MX' });
    await page.getByText('Intervalos de servicio').waitFor();
    await page.locator('summary', { hasText: 'bomba de agua: cambio' }).click();
    await page.getByLabel('Cada cuántos meses').first().fill('48');
    await page.getByRole('button', { name: 'Guardar…' }).click();
    await page.getByText('2 trabajos tocarían hoy; 2 más estarían atrasados.').waitFor();
  });
});

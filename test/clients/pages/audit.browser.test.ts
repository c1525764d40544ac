import { onDesk } from '../../support/desk.js';
import { labelOf } from '../../support/labels.js';

describe('the audit on the desk', () => {
  let depotId: string;
  const { test, open, fleet } = onDesk('2026-04-02T15:00:00Z', async ({ manager }) => {
    depotId = (await manager.post('/v1/depots', { name: 'Quarry' })).body.id;
    await manager.post('/v1/vehicles', { unitNumber: 'B-1', depotId });
    await manager.patch(`/v1/depots/${depotId}`, { elevation: { value: 1500, unit: 'm' } });
  });

  test('says who changed what, by name, with the values before and after', async () => {
    const { page } = await open('/desk/settings');
    await page.getByRole('link', { name: 'Audit' }).click();
    const row = page.getByRole('row', { name: 'changed depot Quarry' });
    await row.getByText('elevation, m: nothing → 1,500').waitFor();
    await row.getByText('manager (token)').waitFor();
    await row.getByText('Apr 2, 2026').waitFor();
    await page.getByRole('row', { name: 'added vehicle B-1' }).getByText('depot: nothing → Quarry').waitFor();
    const vehicle = (await fleet().manager.get('/v1/vehicles')).body.items[0];
    await labelOf(fleet(), vehicle.id);
    await page.reload();
    await page.getByText('vehicle: nothing → B-1').first().waitFor();
  });

  test('is narrowed to a kind, an actor, a day and one record, and keeps that in its address', async () => {
    const { page } = await open('/desk/settings/audit');
    await page.getByRole('row', { name: 'added vehicle B-1' }).waitFor();
    await page.getByLabel('What').selectOption('depot');
    await page.getByRole('row', { name: 'added vehicle B-1' }).waitFor({ state: 'detached' });
    await page.getByLabel('Done').selectOption('changed');
    await page.getByRole('row', { name: 'added depot' }).waitFor({ state: 'detached' });
    expect(await page.getByRole('row').count()).toBe(2);
    await page.getByLabel('To, inclusive').fill('2026-04-01');
    await page.getByText('Nothing here by these filters.').waitFor();
    await page.getByLabel('To, inclusive').fill('2026-04-02');
    await page.getByRole('row', { name: 'changed depot Quarry' }).waitFor();
    await page.getByLabel('Done').selectOption('');
    await page.getByRole('button', { name: 'Only this Quarry' }).first().click();
    await page.getByText('Shown is one record only.').waitFor();
    await page.getByRole('row', { name: 'added depot Quarry' }).waitFor();
    expect(page.url()).toContain(`id=${depotId}`);
    expect(await page.getByRole('row').count()).toBe(3);
    await page.getByRole('button', { name: 'Show all records' }).click();
    await page.getByLabel('What').selectOption('');
    await page.getByRole('row', { name: 'added vehicle B-1' }).waitFor();
    const mechanic = (await fleet().manager.get('/v1/tokens')).body.items.find(
      ({ role }: any) => role === 'mechanic',
    );
    await page.getByLabel('By whom').selectOption(mechanic.id);
    await page.getByText('Nothing here by these filters.').waitFor();
  });

  test('shows more by keyboard, without a second look at what is there', async () => {
    for (let count = 0; count < 30; count++)
      await fleet().manager.post('/v1/depots', { name: `Depot ${count}` });
    const { page } = await open('/desk/settings/audit?kind=depot');
    const more = page.getByRole('button', { name: 'Show more' });
    await more.focus();
    expect(await page.getByRole('row').count()).toBe(26);
    await page.keyboard.press('Enter');
    await more.waitFor({ state: 'detached' });
    // 30 made here, one made and changed before, and the heading.
    expect(await page.getByRole('row').count()).toBe(33);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        await fleet().manager.post('/v1/starter-sets', { sets: [{ set: 'bus' }] });
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/settings/audit', options);
        await page
          .getByText(/more values/)
          .first()
          .click();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('speaks Spanish', async () => {
    const { page } = await open('/desk/settings/audit', { locale: 'es-MX' });
    await page.getByText('altitud, m: nada → 1,500').waitFor();
    await page.getByText('cambió: patio').waitFor();
  });
});

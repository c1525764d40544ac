import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { idOf, labelOf, open as openLabel, sendForm } from '../../support/labels.js';
import { type MatterMaker, matterMaker } from '../../support/matters.js';
import { postScenario, type Scenario } from '../../support/scenario.js';

const NOW = '2026-04-02T20:00:00Z';
const PNG =
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==';

describe('usage readings on the desk', () => {
  let maker: MatterMaker;
  let scenario: Scenario;
  const { test, open, fleet, service } = onDesk(NOW, async (made) => {
    scenario = await postScenario(made, { inServiceOn: '2026-03-01' });
    maker = await matterMaker(made, scenario);
  });

  const readings = (page: Page) => page.locator('[data-reading]');
  const of = (page: Page, unit: string) => readings(page).filter({ hasText: unit });
  const inState = async (status: string) =>
    (await fleet().manager.get(`/v1/usage-readings?status=${status}`)).body.items;

  test('says what was sent, why it is held, and what is around it', async () => {
    await maker.make('held-reading', 'H-1');
    const { page } = await open('/desk/readings');
    await of(page, 'H-1').getByText('90,000 mi, read').waitFor();
    const [held] = await inState('held');
    expect(await of(page, 'H-1').textContent()).toContain(held.detail.text);
    await of(page, 'H-1').getByRole('button', { name: 'What is around it: H-1' }).press('Enter');
    const rows = of(page, 'H-1').getByRole('row');
    await rows.nth(2).waitFor();
    expect(await rows.nth(1).textContent()).toMatch(/90,000 mi.*held \(this one\)/);
    expect(await rows.nth(2).textContent()).toMatch(/100 mi.*accepted/);
  });

  /** Coolant that a driver says was added, by the label on a new vehicle. */
  async function addTopUp(unitNumber: string, form: object = {}): Promise<string> {
    const { body } = await fleet().manager.post('/v1/vehicles', { unitNumber, depotId: scenario.depotId });
    const label = service().url + (await labelOf(fleet(), body.id, 'defects-and-top-ups'));
    const id = idOf(await openLabel(label));
    const sent = await sendForm(label, { id, trouble: ['coolant-added'], ...form });
    expect(sent.status).toBe(303);
    return body.id;
  }
  const topUpOf = (page: Page, unit: string) => page.locator('[data-top-up]').filter({ hasText: unit });
  const counted = async (vehicleId: string): Promise<any[]> =>
    (await fleet().manager.get(`/v1/vehicles/${vehicleId}/readings?kind=top-up`)).body.items;
  const defectOf = async (vehicleId: string): Promise<any> =>
    (await fleet().manager.get(`/v1/defects?vehicleId=${vehicleId}`)).body.items[0];

  test('lists coolant that drivers added with the evidence, and counts what is accepted', async () => {
    const photo = { bytes: Buffer.from(PNG, 'base64'), name: 'tank.png', type: 'image/png' };
    const told = await addTopUp('C-1', { added: '1', words: 'was below low', name: 'Ana', photo });
    const untold = await addTopUp('C-2');
    const { page } = await open('/desk/today');
    await page.getByRole('link', { name: '2 reports of coolant added: not counted yet' }).press('Enter');
    await page.waitForURL(/desk\/readings$/);
    const first = topUpOf(page, 'C-1');
    await first.getByText('About 1 qt of coolant or water. Reported').waitFor();
    expect(await first.textContent()).toMatch(/Reported .*Apr 2, 2026.* by Ana\..*was below low/);
    const file = await first.getByRole('link', { name: 'Photo 1 of 1, C-1' }).getAttribute('href');
    expect((await page.request.get(`${service().url}${file}`)).headers()['content-type']).toBe('image/png');
    expect(await topUpOf(page, 'C-2').textContent()).toContain('nobody said how much');
    await first.getByRole('button', { name: 'Accept… C-1' }).press('Enter');
    const dialog = page.getByRole('dialog');
    expect(await dialog.getByLabel('How much').inputValue()).toBe('1');
    await dialog.getByLabel('How much').fill('1.5');
    await dialog.getByLabel('It was filled up to the mark').check();
    await page.keyboard.press('Enter');
    await page.getByText('The coolant added to C-1 counts now.').waitFor();
    await first.waitFor({ state: 'detached' });
    expect(await counted(told)).toMatchObject([
      { kind: 'top-up', toMark: true, added: { value: 1.5, unit: 'qt' } },
    ]);
    await topUpOf(page, 'C-2').getByRole('button', { name: 'Accept… C-2' }).click();
    await dialog.getByRole('button', { name: 'Accept' }).click();
    await dialog.locator('.field .fault').waitFor();
    expect(await dialog.getByLabel('How much').getAttribute('aria-invalid')).toBe('true');
    await dialog.getByLabel('How much').fill('2');
    await dialog.getByLabel('Unit').selectOption('L');
    await dialog.getByRole('button', { name: 'Accept' }).click();
    await topUpOf(page, 'C-2').waitFor({ state: 'detached' });
    expect(await counted(untold)).toHaveLength(1);
    // Where the coolant went is still to be found out.
    expect((await defectOf(told)).state).toBe('reported');
  });

  test('discards coolant that was not added, with the reason, and says what that certifies', async () => {
    const vehicleId = await addTopUp('C-1', { added: '1' });
    const { page } = await open('/desk/readings');
    await topUpOf(page, 'C-1').getByRole('button', { name: 'Discard… C-1' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByText('If the vehicle may be losing it, cancel here').waitFor();
    await dialog.getByRole('button', { name: 'Discard' }).click();
    await dialog.locator('.field .fault').first().waitFor();
    await dialog.getByLabel(/^Why/).fill('washer fluid, not coolant');
    await dialog.getByLabel('Name or badge of who decides').fill('badge 3');
    await dialog.getByRole('button', { name: 'Discard' }).click();
    await topUpOf(page, 'C-1').waitFor({ state: 'detached' });
    expect(await counted(vehicleId)).toEqual([]);
    expect(await defectOf(vehicleId)).toMatchObject({
      state: 'dismissed',
      certificate: { certifiedBy: 'badge 3', reason: 'washer fluid, not coolant' },
    });
  });

  test('accepts one and voids it again, and discards another', async () => {
    for (const unit of ['H-1', 'H-2']) await maker.make('held-reading', unit);
    const { page } = await open('/desk/readings');
    const dialog = page.getByRole('dialog');
    await of(page, 'H-1')
      .getByRole('button', { name: /^Accept/ })
      .click();
    await dialog.getByRole('button', { name: 'Accept' }).click();
    await page.getByText('The reading of H-1 was accepted.').waitFor();
    await of(page, 'H-1').waitFor({ state: 'detached' });
    await of(page, 'H-2')
      .getByRole('button', { name: /^Discard/ })
      .click();
    await dialog.getByText('This cannot be undone').waitFor();
    await dialog.getByRole('button', { name: 'Discard' }).click();
    await page.getByText('No readings like this.').waitFor();
    expect(await inState('discarded')).toHaveLength(1);
    const before = await inState('accepted');
    await page.getByLabel('State').selectOption('accepted');
    const accepted = of(page, 'H-1').filter({ hasText: '90,000 mi' });
    await accepted.getByRole('button', { name: /^Void/ }).click();
    await dialog.getByRole('button', { name: 'Void' }).click();
    await accepted.waitFor({ state: 'detached' });
    expect(await inState('accepted')).toHaveLength(before.length - 1);
    expect(await inState('voided')).toHaveLength(1);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        await maker.make('held-reading', 'H-1');
        await addTopUp('C-1', { added: '1' });
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/readings', options);
        await of(page, 'H-1')
          .getByRole('button', { name: /^What is around it/ })
          .click();
        await of(page, 'H-1').getByRole('row').nth(2).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        for (const name of ['Accept… C-1', 'Discard… C-1']) {
          await topUpOf(page, 'C-1').getByRole('button', { name }).click();
          await page.getByRole('dialog').waitFor();
          expect(await findings()).toEqual([]);
          await page.keyboard.press('Escape');
        }
      });

  test('speaks Spanish', async () => {
    await addTopUp('C-1', { added: '1' });
    await maker.make('held-reading', 'H-1');
    const { page } = await open('/desk/readings', { locale: 'es-MX' });
    await page.getByRole('heading', { name: 'Lecturas' }).waitFor();
    await topUpOf(page, 'C-1').getByText('de refrigerante o agua.').waitFor();
    await of(page, 'H-1').getByText('retenida', { exact: true }).waitFor();
  });
});

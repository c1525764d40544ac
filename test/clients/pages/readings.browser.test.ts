import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { type MatterMaker, matterMaker } from '../../support/matters.js';
import { postScenario } from '../../support/scenario.js';

const NOW = '2026-04-02T20:00:00Z';

describe('usage readings on the desk', () => {
  let maker: MatterMaker;
  const { test, open, fleet } = onDesk(NOW, async (made) => {
    maker = await matterMaker(made, await postScenario(made, { inServiceOn: '2026-03-01' }));
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
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/readings', options);
        await of(page, 'H-1')
          .getByRole('button', { name: /^What is around it/ })
          .click();
        await of(page, 'H-1').getByRole('row').nth(2).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('speaks Spanish', async () => {
    await maker.make('held-reading', 'H-1');
    const { page } = await open('/desk/readings', { locale: 'es-MX' });
    await page.getByRole('heading', { name: 'Lecturas' }).waitFor();
    await of(page, 'H-1').getByText('retenida', { exact: true }).waitFor();
  });
});

import type { Page } from 'playwright-core';
import { v7 as uuidv7 } from 'uuid';
import { onDesk } from '../../support/desk.js';
import { type MatterMaker, matterMaker } from '../../support/matters.js';
import { postScenario } from '../../support/scenario.js';

const NOW = '2026-04-02T20:00:00Z';

describe('loss alerts on the desk', () => {
  let maker: MatterMaker;
  const { test, open, fleet, service } = onDesk(NOW, async (made) => {
    maker = await matterMaker(made, await postScenario(made, { inServiceOn: '2026-03-01' }));
  });

  const alerts = (page: Page) => page.locator('[data-alert]');
  const of = (page: Page, text: string) => alerts(page).filter({ hasText: text });

  /** An alert that is about no single vehicle. */
  const addBatch = () =>
    service().database.admin.query(
      `insert into loss_alerts (fleet_id, id, key, kind, status, raised_at, members, evidence, computed, check_next, cautions)
       values ($1, $2, 'b', 'part-cohort', 'raised', '2026-03-10T00:00:00Z', $3, '[]', '{}', '[]', '[]')`,
      [fleet().fleetId, uuidv7(), JSON.stringify([uuidv7(), uuidv7()])],
    );

  test('shows each alert with its evidence, those about no single vehicle, too', async () => {
    await maker.make('loss-alert', 'A-1');
    await addBatch();
    const { page } = await open('/desk/alerts');
    await of(page, 'bad part batch').getByText('It is about 2 vehicles').waitFor();
    const { body } = await fleet().manager.get('/v1/loss-alerts');
    const shown = await of(page, 'A-1, repeated top-ups').textContent();
    const [alert] = body.items.filter(({ vehicle }: any) => vehicle !== null);
    expect(alert.evidence.length).toBeGreaterThan(1);
    for (const { message } of [...alert.evidence]) expect(shown).toContain(message.text);
    for (const { text } of [...alert.checkNext, ...alert.cautions]) expect(shown).toContain(text);
  });

  test('shows the alerts of one depot, and keeps the choice in the address', async () => {
    for (const unit of ['A-1', 'A-2']) await maker.make('loss-alert', unit);
    await addBatch();
    const valley = (await fleet().manager.post('/v1/depots', { name: 'Valley' })).body.id;
    const { body } = await fleet().manager.get('/v1/vehicles?q=A-2');
    const moved = await fleet().manager.patch(`/v1/vehicles/${body.items[0].id}`, { depotId: valley });
    expect(moved.status).toBe(200);
    const { page } = await open('/desk/alerts');
    await of(page, 'bad part batch').waitFor();
    expect(await alerts(page).count()).toBe(3);
    await page.getByLabel('Depot').focus();
    await page.keyboard.type('Valley');
    await page.waitForURL(new RegExp(`depot=${valley}`));
    await of(page, 'A-1').waitFor({ state: 'detached' });
    await of(page, 'A-2').waitFor();
    expect(await alerts(page).count()).toBe(1);
    await page.reload();
    await of(page, 'A-2').waitFor();
    await page.locator('option:checked', { hasText: 'Valley' }).waitFor({ state: 'attached' });
    expect(await alerts(page).count()).toBe(1);
  });

  test('acknowledges, shelves until a day and clears, and finds each by its state', async () => {
    for (const unit of ['A-1', 'A-2', 'A-3']) await maker.make('loss-alert', unit);
    const { page } = await open('/desk/alerts');
    const dialog = page.getByRole('dialog');
    await of(page, 'A-1').getByRole('button', { name: 'Acknowledge… A-1' }).focus();
    await page.keyboard.press('Enter');
    await dialog.getByLabel('Note').fill('badge 3 looks');
    await page.keyboard.press('Enter');
    await of(page, 'A-1').getByText('Acknowledged', { exact: true }).waitFor();
    await of(page, 'A-2')
      .getByRole('button', { name: /^Shelve/ })
      .click();
    await dialog.getByLabel('Until').fill('2027-04-20');
    await dialog.getByLabel('Reason').fill('a hose is on order');
    await dialog.getByRole('button', { name: 'Shelve' }).click();
    await dialog.locator('.field .fault').waitFor();
    await dialog.getByLabel('Until').fill('2026-04-20');
    await dialog.getByRole('button', { name: 'Shelve' }).click();
    await of(page, 'A-2').getByText('It comes back by itself on Apr 20, 2026').waitFor();
    await of(page, 'A-3')
      .getByRole('button', { name: /^Clear/ })
      .click();
    await dialog.getByLabel('What was found').fill('a loose clamp, tightened');
    await dialog.getByRole('button', { name: 'Clear' }).click();
    await of(page, 'A-3').waitFor({ state: 'detached' });
    for (const [state, unit] of [
      ['Acknowledged', 'A-1'],
      ['Shelved', 'A-2'],
      ['Cleared', 'A-3'],
    ] as const) {
      await page.getByLabel('State').selectOption(state);
      await of(page, unit).waitFor();
      await alerts(page).nth(1).waitFor({ state: 'detached' });
    }
    expect(await of(page, 'A-3').getByRole('button').count()).toBe(0);
    await page.getByLabel('State').selectOption('Raised');
    await page.getByText('No alerts like this.').waitFor();
    const { body } = await fleet().manager.get('/v1/loss-alerts?status=shelved');
    const { actions } = (await fleet().manager.get(`/v1/loss-alerts/${body.items[0].id}`)).body;
    expect(actions).toMatchObject([{ action: 'shelve', note: 'a hose is on order' }]);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        await maker.make('loss-alert', 'A-1');
        await addBatch();
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/alerts', options);
        await alerts(page).nth(1).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('speaks Spanish', async () => {
    await maker.make('loss-alert', 'A-1');
    const { page } = await open('/desk/alerts', { locale: 'es-MX' });
    await page.getByRole('heading', { name: 'Alertas' }).waitFor();
    await of(page, 'A-1, rellenos repetidos').getByText('Activa', { exact: true }).waitFor();
  });
});

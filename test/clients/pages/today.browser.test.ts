import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { type MatterMaker, MATTERS_MADE, matterMaker } from '../../support/matters.js';
import { postScenario } from '../../support/scenario.js';

const NOW = '2026-04-02T20:00:00Z';

describe('what needs a decision, on the desk', () => {
  let maker: MatterMaker;
  const { test, open, fleet, service } = onDesk(NOW, async (made) => {
    maker = await matterMaker(made, await postScenario(made, { inServiceOn: '2026-03-01' }));
  });

  const vehicles = (page: Page) => page.locator('[data-vehicle]');
  const of = (page: Page, unit: string) => vehicles(page).filter({ hasText: unit });
  const units = (page: Page) => page.locator('[data-vehicle] .unit').allTextContents();
  const button = (page: Page, unit: string, name: string) =>
    of(page, unit).getByRole('button', { name: new RegExp(`^${name}`) });
  const today = async (): Promise<any[]> => (await fleet().manager.get('/v1/today')).body.items;
  const unitsLeft = async () => (await today()).map(({ vehicle }) => vehicle.unitNumber);
  const gone = (page: Page, unit: string) => of(page, unit).waitFor({ state: 'detached' });

  async function reportDefect(unit: string): Promise<string> {
    const { body, status } = await fleet().mechanic.post('/v1/defects', {
      ...{ vehicleId: await maker.add(unit), source: 'driver', what: 'Steam at the front' },
      reportedAt: '2026-04-02T10:00:00Z',
    });
    expect(status).toBe(201);
    return body.id;
  }

  test('says plainly when nothing needs a decision', async () => {
    const { page } = await open('/desk');
    await page.getByText('Nothing needs a decision now.').waitFor();
    expect(page.url()).toBe(`${service().url}/desk/today`);
    expect(await vehicles(page).count()).toBe(0);
    await maker.make('late', 'L-1');
    await of(page, 'L-1').waitFor();
    expect(await page.getByText('Nothing needs a decision now.').count()).toBe(0);
  });

  test('lists the vehicle released with a failed test first, then by how bad it is', async () => {
    for (const kind of [...MATTERS_MADE].reverse()) await maker.make(kind, `V-${kind}`);
    await reportDefect('V-defect');
    const { page } = await open('/desk/today');
    await vehicles(page).nth(5).waitFor();
    expect(await units(page)).toEqual(await unitsLeft());
    const first = vehicles(page).first();
    expect(await first.locator('.unit').textContent()).toBe('V-released-with-findings');
    expect(await first.locator('.matter .kind').first().textContent()).toContain(
      'Released with a failed test',
    );
    const [{ matters }] = await today();
    expect(await first.locator('.matter .reasons').first().textContent()).toContain(
      matters[0].reasons[0].text,
    );
    const card = first.getByRole('link', { name: /^Job card/ });
    expect(await card.getAttribute('href')).toBe(matters[0].actions[0].path);
    await card.click();
    await page.getByText('V-released-with-findings').first().waitFor();
    expect(page.url()).toContain('/job-card');
  });

  test('puts a line off, by keyboard', async () => {
    await maker.make('late', 'L-1');
    const { page } = await open('/desk/today');
    await button(page, 'L-1', 'Put off').focus();
    await page.keyboard.press('Enter');
    const dialog = page.getByRole('dialog', { name: 'Put off 1 line' });
    await dialog.getByLabel('Until').fill('2026-04-20');
    await dialog.getByLabel('Reason, for whoever asks later').fill('the bay is closed');
    await page.keyboard.press('Enter');
    await dialog.getByText('1 line was put off.').waitFor();
    await dialog.getByText('L-1, drive belt: inspect: due Mon, Apr 20, 2026').waitFor();
    await page.keyboard.press('Escape');
    await gone(page, 'L-1');
    expect(await unitsLeft()).toEqual([]);
  });

  test('acknowledges, shelves and clears an alert', async () => {
    for (const unit of ['A-1', 'A-2', 'A-3']) await maker.make('loss-alert', unit);
    const { page } = await open('/desk/today');
    await button(page, 'A-1', 'Acknowledge').click();
    await page.getByRole('dialog').getByRole('button', { name: 'Acknowledge' }).click();
    await page.getByText(/^Acknowledged: A-1/).waitFor();
    await gone(page, 'A-1');
    await button(page, 'A-2', 'Shelve').click();
    const dialog = page.getByRole('dialog');
    await dialog.getByRole('button', { name: 'Shelve' }).click();
    await dialog.locator('.field .fault').first().waitFor();
    expect(await dialog.getByLabel('Until').getAttribute('aria-invalid')).toBe('true');
    await dialog.getByLabel('Until').fill('2026-05-04');
    await dialog.getByText('It comes back by itself on Mon, May 4, 2026').waitFor();
    await dialog.getByLabel('Reason').fill('a hose is on order');
    await dialog.getByRole('button', { name: 'Shelve' }).click();
    await page.getByText(/^Shelved: A-2.*Mon, May 4, 2026/).waitFor();
    await button(page, 'A-3', 'Clear').click();
    await dialog.getByText('This cannot be undone').waitFor();
    await dialog.getByLabel('What was found').fill('a loose clamp, tightened');
    await dialog.getByRole('button', { name: 'Clear' }).click();
    await page.getByText(/^Cleared: A-3/).waitFor();
    await page.getByText('Nothing needs a decision now.').waitFor();
    const alerts = (await fleet().manager.get('/v1/loss-alerts')).body.items;
    const states = alerts.map(({ vehicle, status, shelvedUntil }: any) => [
      ...[vehicle.unitNumber, status, shelvedUntil],
    ]);
    expect(Object.fromEntries(states.map(([unit, ...rest]: any) => [unit, rest]))).toEqual({
      'A-1': ['acknowledged', null],
      // As the day begins by the fleet's clocks, Denver's.
      'A-2': ['shelved', '2026-05-04T06:00:00.000Z'],
    });
  });

  test('accepts and discards held readings', async () => {
    for (const unit of ['H-1', 'H-2']) await maker.make('held-reading', unit);
    const { page } = await open('/desk/today');
    await button(page, 'H-1', 'Accept').click();
    await page.getByRole('dialog').getByLabel('The counter was replaced').check();
    await page.getByRole('dialog').getByRole('button', { name: 'Accept' }).click();
    await page.getByText('The reading of H-1 was accepted.').waitFor();
    await gone(page, 'H-1');
    await button(page, 'H-2', 'Discard').click();
    await page.getByRole('dialog').getByRole('button', { name: 'Discard' }).click();
    await page.getByText('Nothing needs a decision now.').waitFor();
    const inState = async (status: string) =>
      (await fleet().manager.get(`/v1/usage-readings?status=${status}`)).body.items;
    expect((await inState('accepted')).filter((one: any) => one.odometerReplaced)).toHaveLength(1);
    expect(await inState('discarded')).toHaveLength(1);
  });

  test('takes up what a driver reported, and dismisses it', async () => {
    const [first, second] = [await reportDefect('D-1'), await reportDefect('D-2')];
    const { page } = await open('/desk/today');
    await button(page, 'D-1', 'Take it up').click();
    const dialog = page.getByRole('dialog');
    await dialog.getByText('Reported: Steam at the front').waitFor();
    await dialog.getByLabel('What the work is on').selectOption('upper hose');
    await dialog.getByLabel('What is to be done').selectOption('replace');
    await dialog.getByRole('button', { name: 'Take it up' }).click();
    await dialog.locator('.field .fault').waitFor();
    await dialog.getByLabel('Name or badge').fill('badge 3');
    await dialog.getByRole('button', { name: 'Take it up' }).click();
    await page.getByText('The report about D-1 was taken up.').waitFor();
    await of(page, 'D-1').getByText('Reported defect', { exact: true }).waitFor({ state: 'detached' });
    await button(page, 'D-2', 'Dismiss').click();
    await dialog.getByLabel('Why no repair is needed').fill('condensation of the air conditioning');
    await dialog.getByLabel('Name or badge').fill('badge 3');
    await dialog.getByRole('button', { name: 'Dismiss' }).click();
    await page.getByText('The report about D-2 was dismissed.').waitFor();
    await gone(page, 'D-2');
    const defect = async (id: string) => (await fleet().manager.get(`/v1/defects/${id}`)).body;
    expect((await defect(first)).decisions).toMatchObject([
      {
        kind: 'triage',
        component: 'upper-hose',
        action: 'replace',
        vehicleStays: true,
        decidedBy: 'badge 3',
      },
    ]);
    expect((await defect(second)).state).toBe('dismissed');
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        for (const kind of MATTERS_MADE) await maker.make(kind, `V-${kind}`);
        await reportDefect('V-defect');
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/today', options);
        await vehicles(page).nth(5).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        await button(page, 'V-defect', 'Take it up').click();
        await page.getByRole('dialog').getByRole('button', { name: 'Take it up' }).click();
        await page.locator('dialog .fault').first().waitFor();
        expect(await findings()).toEqual([]);
      });

  test('speaks Spanish', async () => {
    await maker.make('released-with-findings', 'V-1');
    const { page } = await open('/desk/today', { locale: 'es-MX' });
    await page.getByRole('heading', { name: 'Hoy' }).waitFor();
    await of(page, 'V-1').getByText('Liberado para circular con una prueba fallida').first().waitFor();
  });
});

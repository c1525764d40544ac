import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { picture } from '../../support/pictures.js';
import { until } from '../../support/receiver.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';

const NOW = '2026-04-02T15:00:00Z';

describe('the page of a vehicle on the desk', () => {
  let scenario: Scenario;
  const { test, open, fleet } = onDesk(NOW, async (made) => {
    scenario = await postScenario(made, { make: 'Harrow', model: 'H40', modelYear: 2019 });
  });

  const address = (): string => `/desk/vehicles/${scenario.vehicleId}`;
  const stored = async (): Promise<any> =>
    (await fleet().manager.get(`/v1/vehicles/${scenario.vehicleId}`)).body;
  const opened = (page: Page) => page.getByRole('heading', { name: 'The vehicle' }).waitFor();

  async function report(): Promise<string> {
    const { manager, mechanic } = fleet();
    for (const [readAt, miles] of [
      ['2026-01-05T10:00:00Z', 50_000],
      ['2026-03-10T10:00:00Z', 53_600],
    ] as const) {
      const odometer = { value: miles, unit: 'mi' };
      const readings = [{ unitNumber: 'R-114', readAt, odometer }];
      expect((await manager.post('/v1/usage-readings', { readings })).status).toBeLessThan(300);
    }
    const job = goodJob(scenario.vehicleId, '2026-03-12T10:00:00Z', 53_700);
    const { status, body } = await mechanic.post('/v1/job-reports', job);
    expect(status).toBe(201);
    const photo = await picture('jpeg');
    const path = `/v1/job-reports/${body.id}/attachments`;
    expect((await mechanic.send('POST', path, photo, { 'content-type': 'image/jpeg' })).status).toBe(201);
    const held = [
      { unitNumber: 'R-114', readAt: '2026-03-13T10:00:00Z', odometer: { value: 9, unit: 'mi' } },
    ];
    expect((await manager.post('/v1/usage-readings', { readings: held })).body.held).toBe(1);
    const defect = {
      vehicleId: scenario.vehicleId,
      source: 'driver',
      what: 'Puddle below the radiator',
      reportedAt: '2026-04-01T10:00:00Z',
    };
    expect((await manager.post('/v1/defects', defect)).status).toBe(201);
    return body.id;
  }

  test('shows what is open, charts with a table, history with verdicts, photos and facts', async () => {
    await report();
    const { page } = await open(address());
    await opened(page);
    const { body } = await fleet().manager.get(
      `/v1/due-list?vehicleId=${scenario.vehicleId}&state=late,due,window,not-due,no-baseline&limit=200`,
    );
    expect(await page.locator('table.of-vehicle tbody tr').count()).toBe(body.items.length);
    await page.getByText('“Puddle below the radiator”').first().waitFor();
    await page.getByRole('region', { name: 'Counter readings held for review' }).waitFor();
    const odometer = page.locator('figure').filter({ hasText: 'Odometer' });
    await odometer.locator('canvas').waitFor();
    // It is drawn anew when more of the vehicle arrives.
    await until(async () => ((await odometer.locator('canvas').boundingBox())?.height ?? 0) > 100);
    expect(await odometer.locator('.key').textContent()).toContain('as read');
    await odometer.getByText('As a table').click();
    const cells = await odometer.locator('tbody tr').allTextContents();
    expect(cells.some((text) => text.includes('53,600'))).toBe(true);
    const one = page.locator('figure').filter({ hasText: 'Coolant strength' });
    expect(await one.locator('canvas').count()).toBe(0);
    await one.getByText(/measured: one value, on Mar 12, 2026/).waitFor();
    const history = page.getByRole('region', { name: 'History' });
    await history.getByText('Job by badge 7: pass').waitFor();
    await history.getByText('water pump: replace (had failed). seal weeping').waitFor();
    await page.getByAltText('Job of Mar 12, 2026').first().waitFor();
    await page.locator('.facts').getByText('2019 Harrow H40').waitFor();
  });

  test('puts a line off, and takes that back', async () => {
    const { page } = await open(address());
    await page.getByRole('button', { name: /^Put off coolant: replace/ }).click();
    const dialog = page.getByRole('dialog', { name: 'Put off 1 line' });
    await dialog.getByLabel('Until').fill('2026-05-04');
    await dialog.getByLabel('Reason, for whoever asks later').fill('the bay is closed');
    await dialog.getByRole('button', { name: 'Put off 1 line' }).click();
    await dialog.getByRole('button', { name: 'Close' }).click();
    const line = page.locator('table.of-vehicle tr').filter({ hasText: 'coolant: replace' });
    await line.getByText('Put off until Mon, May 4, 2026.').waitFor();
    await page
      .getByRole('region', { name: 'History' })
      .getByText(/put off until Mon, May 4/)
      .waitFor();
    await line.getByRole('button', { name: /^Take back/ }).click();
    await page.getByRole('dialog').getByRole('textbox').fill('the bay is open');
    await page.getByRole('dialog').locator('form button').click();
    await page.getByRole('dialog').getByRole('button', { name: 'Close' }).click();
    await line.getByText('Put off until').waitFor({ state: 'detached' });
  });

  test('changes facts, says what somebody else changed meanwhile, and keeps what was typed', async () => {
    const { page } = await open(address());
    await page.getByRole('button', { name: 'Change…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Change R-114' });
    await dialog.getByLabel('Model year').fill('1820');
    await dialog.getByRole('button', { name: 'Save' }).click();
    await dialog.locator('.field .fault').waitFor();
    expect(await dialog.getByLabel('Model year').getAttribute('aria-invalid')).toBe('true');
    await dialog.getByLabel('Model year').fill('2020');
    await dialog.getByLabel('Interval plan').selectOption('');
    await fleet().manager.patch(`/v1/vehicles/${scenario.vehicleId}`, { make: 'Torvane', duty: 'normal' });
    await dialog.getByRole('button', { name: 'Save' }).click();
    await dialog.getByText('Make: was Harrow, now Torvane').waitFor();
    await dialog.getByText('Duty: was severe, now normal').waitFor();
    expect(await dialog.getByLabel('Model year').inputValue()).toBe('2020');
    expect(await dialog.getByLabel('Make').inputValue()).toBe('Torvane');
    await dialog.getByRole('button', { name: 'Save' }).click();
    await dialog.waitFor({ state: 'detached' });
    await page.locator('.facts').getByText('2020 Torvane H40').waitFor();
    await page.locator('.facts').getByText('No interval plan.').waitFor();
    expect(await stored()).toMatchObject({
      ...{ make: 'Torvane', duty: 'normal', modelYear: 2020, intervalPlanId: null },
    });
  });

  test('is added with the service’s words beside a field, and removed by keyboard', async () => {
    const { page } = await open('/desk/vehicles');
    await page.getByRole('link', { name: 'Add a vehicle' }).click();
    await page.getByLabel('Unit number').fill('NEW-1');
    await page.getByLabel('VIN').fill('WXY1');
    await page.getByRole('combobox', { name: 'Depot' }).selectOption({ label: 'Ridge' });
    await page.getByLabel(/^Odometer when put in service/).fill('12.5');
    await page.getByRole('button', { name: 'Add a vehicle' }).click();
    await page.locator('.field .fault').waitFor();
    expect(await page.getByLabel('VIN').getAttribute('aria-invalid')).toBe('true');
    await page.getByLabel('VIN').fill('');
    await page.getByRole('button', { name: 'Add a vehicle' }).click();
    await page.getByRole('heading', { name: 'NEW-1', level: 1 }).waitFor();
    const { body } = await fleet().manager.get('/v1/vehicles?unitNumber=NEW-1');
    expect(body.items[0]).toMatchObject({ depotId: scenario.depotId, inServiceOdometer: { value: 12.5 } });
    await page.getByRole('button', { name: 'Remove…' }).focus();
    await page.keyboard.press('Enter');
    await page.getByText('This cannot be undone.').waitFor();
    await page.getByRole('dialog').getByRole('button', { name: 'Remove NEW-1' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Vehicles' }).waitFor();
    expect((await fleet().manager.get('/v1/vehicles?unitNumber=NEW-1')).body.items).toEqual([]);
  });

  test('with a history is marked as disposed of instead of being removed', async () => {
    await report();
    const { page } = await open(address());
    await page.getByRole('button', { name: 'Remove…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Remove R-114?' });
    await dialog.getByRole('button', { name: 'Remove R-114' }).click();
    await dialog.getByRole('button', { name: 'Mark as disposed of' }).click();
    await page.locator('.facts').getByText('disposed of').waitFor();
    expect((await stored()).status).toBe('disposed');
  });

  test('has a label to make, print, renew and take away', async () => {
    const { page } = await open(address());
    const part = page.getByRole('region', { name: 'Label for drivers' });
    await part.getByRole('button', { name: 'Make a label' }).click();
    const code = part.getByAltText('QR code of R-114');
    await code.waitFor();
    const path = `/v1/vehicles/${scenario.vehicleId}/label`;
    const { body: first } = await fleet().manager.get(path);
    await part.getByRole('button', { name: 'Labels to print' }).click();
    const sheet = part.frameLocator('iframe');
    await sheet.getByRole('heading', { name: 'R-114' }).waitFor();
    expect(
      await sheet.locator('li').evaluate((item) => (globalThis as any).getComputedStyle(item).display),
    ).toBe('flex');
    await part.getByRole('button', { name: 'Renew…' }).click();
    await page.getByText('The printed label stops working at once. Print the new one').waitFor();
    const renewed = page.waitForResponse(/\/label\/renew$/);
    await page.getByRole('button', { name: 'Make a new label' }).click();
    expect((await renewed).status()).toBe(200);
    expect((await fleet().manager.get(path)).body.address).not.toBe(first.address);
    await part.getByRole('button', { name: 'Take away…' }).click();
    await page.getByRole('button', { name: 'Take the label away' }).click();
    await part.getByText('It has none yet.').waitFor();
    expect((await fleet().manager.get(path)).status).toBe(404);
  });

  test('prints the labels of several selected vehicles, and no other’s', async () => {
    const { manager } = fleet();
    for (const unitNumber of ['A-1', 'A-2']) await manager.post('/v1/vehicles', { unitNumber });
    await manager.post(`/v1/vehicles/${scenario.vehicleId}/label`);
    const { page } = await open('/desk/vehicles');
    await page.getByLabel('Select A-1').check();
    await page.getByLabel('Select A-2').check();
    await page.getByRole('button', { name: 'Print labels…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Labels of 2 vehicles' });
    await dialog.getByText('2 vehicles have no label yet.').waitFor();
    await dialog.getByRole('button', { name: 'Make 2 labels' }).click();
    const sheet = dialog.frameLocator('iframe');
    await sheet.getByRole('heading', { name: 'A-2' }).waitFor();
    expect(await sheet.locator('h2').allTextContents()).toEqual(['A-1', 'A-2']);
  });

  test('shows the job card to print', async () => {
    const { page } = await open(address());
    await page.getByRole('link', { name: 'Job card to print' }).click();
    await page.getByRole('button', { name: 'Print' }).waitFor();
    await page.frameLocator('iframe').getByText('R-114').first().waitFor();
    await page.getByRole('link', { name: 'Back to the vehicle' }).click();
    await opened(page);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        await report();
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open(address(), options);
        await opened(page);
        await page.locator('figure canvas').first().waitFor();
        await page.getByAltText('Job of Mar 12, 2026').first().waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        await page.getByRole('button', { name: 'Change…' }).click();
        await page.getByRole('dialog').getByLabel('Make').waitFor();
        expect(await findings()).toEqual([]);
        await page.keyboard.press('Escape');
        await page.getByRole('link', { name: 'All vehicles' }).click();
        await page.getByRole('link', { name: 'R-114' }).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('speaks Spanish', async () => {
    await report();
    const { page } = await open(address(), { locale: 'es-MX' });
    await page
      .getByRole('region', { name: 'Historial' })
      .getByText('Trabajo hecho por badge 7: pasa')
      .waitFor();
    await page.getByRole('button', { name: 'Quitar…' }).click();
    await page.getByRole('dialog', { name: '¿Quitar R-114?' }).getByText('No se puede deshacer.').waitFor();
  });
});

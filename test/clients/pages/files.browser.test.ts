import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { sheetXml, workbook } from '../../support/workbooks.js';

const NOW = '2026-04-02T15:00:00Z';
const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

/** A list as a county keeps it: a title, two yards that nobody has made, days, a total. */
const countyBook = () =>
  workbook({
    Fleet: sheetXml([
      ['County of Example'],
      null,
      ['Unit #', 'Yard', 'In service', 'Starting mileage'],
      ['CX-038', 'North Yard', '3/14/2021', '81,370'],
      ['CX-039', 'North Yard', '3/4/2021', '60,120'],
      ['CX-040', 'South Yard', '12/20/2020', '5,300'],
      ['Total', null, null, '146,790'],
    ]),
  });

describe('files on the desk', () => {
  const { test, open, fleet } = onDesk(NOW, () => Promise.resolve());

  const send = (page: Page, name: string, mimeType: string, content: string | Buffer) =>
    page.getByLabel('Choose a file').setInputFiles({ name, mimeType, buffer: Buffer.from(content) });
  const sendCsv = (page: Page, content: string) => send(page, 'list.csv', 'text/csv', content);
  const answer = (page: Page, question: string, option: string | RegExp) =>
    page.locator(`fieldset[data-question="${question}"]`).getByLabel(option).check();
  const check = (page: Page) => page.getByRole('button', { name: 'Check all rows' }).click();

  test('a county list is sent, asked about, checked, taken and taken back', async () => {
    const { page, findings } = await open('/desk/files', { locale: 'en-US' });
    await page.getByText('No file has been taken yet.').waitFor();
    await send(page, 'county.xlsx', XLSX, await countyBook());
    await page.getByRole('heading', { name: 'county.xlsx' }).waitFor();
    await page.getByText('Vehicles: 3 rows of sheet Fleet.').waitFor();
    await page.getByText('3/4/2021 → 2021-03-04').waitFor();
    expect(await findings()).toEqual([]);
    await check(page);
    await page.getByText('Needs an answer.').first().waitFor();
    const focused = `document.activeElement.closest('fieldset').dataset.question`;
    await page.waitForFunction(`${focused} === 'names:depot' || ${focused} === 'decimal:D'`);
    await answer(page, 'names:depot', /Make these 2 depots/);
    await answer(page, 'decimal:D', /Decimal point/);
    await check(page);
    await page.getByText('3 rows are new and good.').waitFor();
    await page.getByText('81,370 → 81370').waitFor();
    expect((await fleet().manager.get('/v1/vehicles')).body.items).toEqual([]);
    expect(await findings()).toEqual([]);
    await page.getByRole('button', { name: 'Take these 3 rows' }).click();
    await page.getByRole('heading', { name: '3 rows were taken' }).waitFor();
    const { items } = (await fleet().manager.get('/v1/vehicles')).body;
    expect(items.map(({ unitNumber, inServiceOn }: any) => [unitNumber, inServiceOn])).toEqual([
      ['CX-038', '2021-03-14'],
      ['CX-039', '2021-03-04'],
      ['CX-040', '2020-12-20'],
    ]);
    expect((await fleet().manager.get('/v1/depots')).body.items).toHaveLength(2);
    expect(await findings()).toEqual([]);
    await page.getByRole('link', { name: 'All files' }).click();
    await page.getByText('3 new, 0 already known, 0 refused').waitFor();
    await page.getByRole('button', { name: 'Undo county.xlsx' }).click();
    const dialog = page.getByRole('dialog', { name: 'Undo county.xlsx' });
    await dialog.getByText('The 3 vehicles that this file brought are removed').waitFor();
    await dialog.getByRole('button', { name: 'Undo it' }).click();
    await page.getByText('Undone on Apr 2, 2026').waitFor();
    expect((await fleet().manager.get('/v1/vehicles')).body.items).toEqual([]);
  });

  test('says what is wrong with each row, saves the refused ones as a file, and takes the good ones', async () => {
    const { page } = await open('/desk/files');
    await sendCsv(page, 'Unit,VIN,In service\nA-1,,2021-03-14\nA-2,short,2021-03-14\nA-3,,31/31/2021\n');
    await check(page);
    await page.getByText('2 rows are refused.').waitFor();
    const { items } = (await fleet().manager.get('/v1/spreadsheets')).body;
    const tried = await fleet().manager.post(`/v1/spreadsheets/${items[0].id}/dry-run?partial=true`);
    const rows = page.locator('table.errors tbody tr');
    expect(await rows.count()).toBe(tried.body.errors.length);
    for (const [at, { line, column, detail }] of tried.body.errors.entries()) {
      const said = (await rows.nth(at).locator('td').allTextContents()).map((text) => text.trim());
      expect([said[0], said[1], said[3]]).toEqual([String(line), column, detail]);
    }
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save the refused rows as a file' }).click(),
    ]);
    const saved = await readFile(await download.path(), 'utf8');
    expect(download.suggestedFilename()).toBe('refused-rows.csv');
    expect(saved.trimEnd().split('\r\n')).toHaveLength(3);
    expect(saved).toContain('A-2,short,2021-03-14,3,"VIN: ');
    await page.getByRole('button', { name: 'Take the good row, without the refused ones' }).click();
    await page.getByRole('heading', { name: '1 row was taken' }).waitFor();
    const { body } = await fleet().manager.get('/v1/vehicles');
    expect(body.items.map(({ unitNumber }: any) => unitNumber)).toEqual(['A-1']);
  });

  test('asks of each unit number that looks like another, and changes a column', async () => {
    for (const unitNumber of ['CX-038', 'CX-039']) await fleet().manager.post('/v1/vehicles', { unitNumber });
    const { page } = await open('/desk/files');
    await sendCsv(page, 'Unit,Odo (mi),Read on\ncx038,100,2026-01-01\nCX 039,200,2026-02-01\n');
    const alike = (given: string) =>
      page.getByRole('group', { name: `${given} (1 row) looks like`, exact: false });
    await alike('cx038').getByLabel('Yes, it is CX-038').check();
    await check(page);
    await page.getByText('Needs an answer.').waitFor();
    await alike('CX 039').getByLabel('No, it is another vehicle').check();
    await page.getByLabel('Unit of column B: Odo (mi)').selectOption('km');
    await check(page);
    await page.getByText('1 row is new and good.').waitFor();
    await page.getByText('1 row is refused.').waitFor();
    expect(await alike('cx038').getByLabel('Yes').isChecked()).toBe(true);
    expect(await alike('CX 039').getByLabel('No').isChecked()).toBe(true);
    await page.getByRole('button', { name: 'Take the good row' }).click();
    await page.getByRole('heading', { name: '1 row was taken' }).waitFor();
    const { body } = await fleet().manager.get('/v1/usage-readings?status=accepted&units=si');
    expect(body.items.map(({ odometer }: any) => odometer.value)).toEqual([100]);
  });

  test('says which files it takes, and why this one is none', async () => {
    const { page } = await open('/desk/files');
    await send(page, 'photo.png', 'image/png', Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 1, 2, 3]));
    await page.locator('.upload .fault').waitFor();
    expect(await page.locator('.upload .fault').textContent()).toMatch(/\.xlsx/);
    const old = Buffer.from('d0cf11e0a1b11ae1', 'hex');
    await send(page, 'old.xls', 'application/vnd.ms-excel', old);
    await page.getByText(/old form/).waitFor();
  });

  test('a file can be dropped, read as something else, and removed', async () => {
    const { page } = await open('/desk/files');
    const transfer = await page.evaluateHandle(`(() => {
      const data = new DataTransfer();
      data.items.add(new File(['Unit,Make\\nD-1,Alder\\n'], 'dropped.csv', { type: 'text/csv' }));
      return data;
    })()`);
    await page.locator('.upload').dispatchEvent('drop', { dataTransfer: transfer });
    await page.getByRole('heading', { name: 'dropped.csv' }).waitFor();
    await page.getByLabel('What it holds').selectOption({ label: 'Odometer and hour readings' });
    await page.getByText('Odometer and hour readings: 1 row of sheet 1.').waitFor();
    await page.goBack();
    await page.getByRole('button', { name: 'Remove dropped.csv' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Remove', exact: true }).click();
    await page.getByText('No file is waiting.').waitFor();
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/files', options);
        await page.getByText('No file is waiting.').waitFor();
        expect(await findings()).toEqual([]);
        await sendCsv(page, 'Unit,Yard,Odo\nA-1,North,"81,370"\n');
        await page.getByRole('heading', { name: 'What is doubtful' }).waitFor();
        await answer(page, 'names:depot', /Make this depot/);
        await check(page);
        await page.getByText('1 row is new and good.').waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('speaks Spanish', async () => {
    const { page } = await open('/desk/files', { locale: 'es-MX' });
    await page.getByRole('heading', { name: 'Archivos', exact: true }).waitFor();
    const file = { name: 'lista.csv', mimeType: 'text/csv', buffer: Buffer.from('Unidad,Patio\nA,Norte\n') };
    await page.getByLabel('Elija un archivo').setInputFiles(file);
    await page.getByLabel('Crear este patio (recomendado)').check();
    await page.getByRole('button', { name: 'Revisar todas las filas' }).click();
    await page.getByText('1 fila es nueva y está bien.').waitFor();
    await page.getByRole('button', { name: 'Tomar esta fila' }).click();
    await page.getByRole('heading', { name: 'Se tomó 1 fila' }).waitFor();
  });
});

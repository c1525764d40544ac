import { readFile } from 'node:fs/promises';
import { onDesk } from '../../support/desk.js';

const NOW = '2026-04-02T20:00:00Z';
const WORN = { kind: 'belt-check', ribsSeated: true, wearGauge: 'worn' };

describe('the month on the desk', () => {
  const { test, open, fleet } = onDesk(NOW, async ({ manager }) => {
    const posted = async (path: string, body: object): Promise<string> => {
      const answer = await manager.post(path, body);
      if (answer.status !== 201) throw new Error(JSON.stringify(answer.body));
      return answer.body.id;
    };
    const depotId = await posted('/v1/depots', { name: 'Ridge' });
    const intervalPlanId = await posted('/v1/interval-plans', {
      name: 'Fans every two months',
      intervals: [
        { component: 'fan-drive', action: 'clean', everyMonths: 2, window: { days: 14 }, grace: { days: 5 } },
      ],
    });
    const vehicleId = await posted('/v1/vehicles', {
      ...{ unitNumber: 'R-1', depotId, intervalPlanId, duty: 'severe', inServiceOn: '2025-08-01' },
    });
    const did = (component: string, action: string, day: string, readings: object[] = []) =>
      posted('/v1/job-reports', {
        ...{ vehicleId, performedAt: `${day}T18:00:00Z`, releasedForService: 'no', readings },
        lines: [{ component, action }],
      });
    await did('fan-drive', 'clean', '2025-11-05');
    await did('fan-drive', 'clean', '2026-01-04'); // In its window.
    await did('fan-drive', 'clean', '2026-03-19'); // Due on 4 March: 15 days late.
    await did('water-pump', 'replace', '2026-02-20');
    await did('water-pump', 'replace', '2026-03-10'); // Again after 18 days.
    await did('drive-belt', 'inspect', '2026-03-06', [WORN]);
    await did('drive-belt', 'replace', '2026-03-16'); // Closed after 10 days.
    await did('drive-belt', 'inspect', '2026-03-28', [WORN]); // Open for 3 days at the end of March.
  });
  const text = async (page: { locator(by: string): { textContent(): Promise<string | null> } }) =>
    (await page.locator('.month-view').textContent()) ?? '';

  test('tells the chosen month in words, small counts as counts, with how each figure is counted', async () => {
    const { page } = await open('/desk/month');
    await page.getByText('Report of April 2026.').waitFor();
    await page.getByText('No work was reported and no reading failed in this month.').waitFor();
    await page.getByLabel('Month to report').selectOption('2026-03');
    await page.getByText('Report of March 2026.').waitFor();
    expect(page.url()).toContain('/desk/month?of=2026-03');
    const told = await text(page);
    for (const said of [
      'Late1 of 1',
      'One was late: 15 days after its due date.',
      'Done again too soon: 1 of 3.',
      '2 readings failed: 1 closed, 1 still open.',
      'Half of them were open for more than 6.5 days, the longest for 10 days.',
    ])
      expect(told).toContain(said);
    const how = page.locator('summary', { hasText: 'How it is counted: Repeat jobs' });
    const definition = page.getByText('Common practice, no published source.').first();
    expect(await definition.isVisible()).toBe(false);
    await how.press('Enter');
    await definition.waitFor();
    const row = (name: string) => page.getByRole('row', { name }).first().textContent();
    expect(await row('Ridge')).toBe('Ridge10001151 of 32110');
    expect(await row('water pump')).toBe('water pump00000–1 of 100–');
    expect(await row('severe')).toMatch(/^severe1/);
    const bar = (month: string) => page.getByRole('row', { name: month }).getByRole('img');
    expect(await bar('March 2026').getAttribute('aria-label')).toBe('0 in time, 0 within the grace, 1 late');
    expect(await bar('January 2026').getAttribute('aria-label')).toBe(
      '1 in time, 0 within the grace, 0 late',
    );
  });

  test('saves the month as the file that the service gives', async () => {
    const { page } = await open('/desk/month?of=2026-03');
    await page.getByText('Report of March 2026.').waitFor();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save as CSV' }).press('Enter'),
    ]);
    expect(download.suggestedFilename()).toBe('2026-03.csv');
    const saved = (await readFile(await download.path(), 'utf8')).slice(1);
    expect(saved).toBe((await fleet().manager.get('/v1/reports/month.csv?of=2026-03-01')).body);
  });

  test('prints the report alone, with its definitions', async () => {
    const { page } = await open('/desk/month?of=2026-03');
    await page.getByText('Report of March 2026.').waitFor();
    await page.emulateMedia({ media: 'print' });
    for (const hidden of ['.head', '.choose', 'details', 'footer'])
      expect([hidden, await page.locator(hidden).first().isVisible()]).toEqual([hidden, false]);
    const definitions = page.locator('.on-paper li');
    expect(await definitions.count()).toBe(10);
    expect(await definitions.first().isVisible()).toBe(true);
    // Letter paper with margins of half an inch is 720 px wide.
    await page.setViewportSize({ width: 720, height: 1000 });
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(720);
  });

  test('says what an address asks for that is no month', async () => {
    const { page } = await open('/desk/month?of=2026-13');
    await page.getByRole('alert').waitFor();
    expect(await page.getByRole('alert').textContent()).toContain('of');
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/month?of=2026-03', options);
        await page.getByText('Report of March 2026.').waitFor();
        for (const summary of await page.locator('summary').all()) await summary.click();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        if (process.env.PICTURES_TO !== undefined)
          await page.screenshot({
            path: `${process.env.PICTURES_TO}/month-${colorScheme}-${width}.png`,
            fullPage: true,
          });
      });

  test('speaks Spanish', async () => {
    const { page } = await open('/desk/month?of=2026-03', { locale: 'es-MX' });
    await page.getByText('Reporte de marzo de 2026.').waitFor();
    const told = await text(page);
    expect(told).toContain('Uno se atrasó: 15 días después de su vencimiento.');
    expect(told).toContain('2 lecturas no pasaron: 1 cerrada, 1 sigue abierta.');
    expect(told).toContain('Práctica común, sin fuente publicada.');
  });
});

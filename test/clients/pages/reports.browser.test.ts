import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { type MatterMaker, matterMaker } from '../../support/matters.js';
import { picture } from '../../support/pictures.js';
import { postScenario } from '../../support/scenario.js';

const NOW = '2026-04-02T20:00:00Z';

describe('job reports on the desk', () => {
  let maker: MatterMaker;
  const { test, open, fleet } = onDesk(NOW, async (made) => {
    maker = await matterMaker(made, await postScenario(made, { inServiceOn: '2026-03-01' }));
  });

  const rows = (page: Page) => page.locator('[data-report]');
  const reports = async (query = ''): Promise<any[]> =>
    (await fleet().manager.get(`/v1/job-reports${query}`)).body.items;

  /** A vehicle with a report that failed, and a photo of it. */
  async function failed(unit: string): Promise<any> {
    await maker.make('released-with-findings', unit);
    const [report] = (await reports()).filter(({ outcome }) => outcome.verdict === 'fail');
    const { status } = await fleet().mechanic.send(
      ...(['POST', `/v1/job-reports/${report.id}/attachments`, await picture('jpeg')] as const),
      { 'content-type': 'application/octet-stream' },
    );
    expect(status).toBe(201);
    return report;
  }

  async function passed(unit: string): Promise<void> {
    const { status } = await fleet().mechanic.post('/v1/job-reports', {
      ...{ vehicleId: await maker.add(unit), performedAt: '2026-03-20T12:00:00Z' },
      lines: [{ component: 'drive-belt', action: 'inspect' }],
    });
    expect(status).toBe(201);
  }

  test('lists reports with their verdicts, by outcome and days', async () => {
    await failed('F-1');
    await passed('P-1');
    const { page } = await open('/desk/reports');
    await rows(page).nth(1).waitFor();
    expect(await rows(page).first().textContent()).toMatch(/F-1.*upper hose: inspect.*badge 7.*fail/);
    await page.getByLabel('Outcome').selectOption('pass');
    await rows(page).nth(1).waitFor({ state: 'detached' });
    expect(await rows(page).first().locator('.unit').textContent()).toBe('P-1');
    await page.getByLabel('First day').fill('2026-03-21');
    await page.getByText('No job reports like this.').waitFor();
    expect(new URL(page.url()).search).toBe('?verdict=pass&from=2026-03-21');
  });

  test('shows a report with its verdicts and why, and its photo in large', async () => {
    const report = await failed('F-1');
    const { page } = await open('/desk/reports');
    await rows(page)
      .getByRole('link', { name: /open the report of F-1/ })
      .press('Enter');
    await page.getByRole('heading', { name: 'Report of F-1' }).waitFor();
    const reading = page.locator('[data-reading]');
    const [{ evaluation }] = report.readings;
    expect(await reading.locator('strong').textContent()).toBe('fail');
    for (const { text } of evaluation.reasons) expect(await reading.textContent()).toContain(text);
    await page.getByText(report.warning.text).waitFor();
    await page.getByRole('button', { name: 'Photo 1 of 1' }).click();
    const large = page.getByRole('dialog').getByRole('img');
    await large.waitFor();
    expect(await large.evaluate((image: any) => image.complete && image.naturalWidth > 0)).toBe(true);
  });

  test('voids a photo and the report, and says what is judged again', async () => {
    const { id, vehicleId } = await failed('F-1');
    const { page } = await open(`/desk/reports/${id}`);
    const dialog = page.getByRole('dialog');
    await page.getByRole('button', { name: 'Void photo 1' }).click();
    await dialog.getByLabel('Reason').fill('shows a face');
    await dialog.getByRole('button', { name: 'Void photo 1' }).click();
    await page.getByText('Photo 1 was voided: shows a face').waitFor();
    await page.getByRole('button', { name: 'Void this report…' }).click();
    await dialog.getByText('are judged again at once').waitFor();
    await dialog.getByText('This cannot be undone').waitFor();
    await dialog.getByRole('button', { name: 'Void the report' }).click();
    await dialog.locator('.field .fault').waitFor();
    await dialog.getByLabel('Reason').fill('the wrong vehicle');
    await dialog.getByRole('button', { name: 'Void the report' }).click();
    await page.getByText(/^Voided .*: the wrong vehicle/).waitFor();
    expect(await page.getByRole('button', { name: 'Void this report…' }).count()).toBe(0);
    const { body } = await fleet().manager.get(`/v1/due-list?vehicleId=${vehicleId}&state=late,due`);
    expect(body.items).toEqual([]);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        const { id } = await failed('F-1');
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/reports', options);
        await rows(page).first().waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        await page.locator(`[data-report="${id}"] a`).click();
        await page.getByRole('button', { name: 'Photo 1 of 1' }).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('speaks Spanish', async () => {
    await failed('F-1');
    const { page } = await open('/desk/reports', { locale: 'es-MX' });
    await rows(page).getByText('no pasa', { exact: true }).waitFor();
  });
});

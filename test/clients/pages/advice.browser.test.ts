import type { Page } from 'playwright-core';
import { shockAbsorbers } from '../../domain/reliability/shock-absorbers.js';
import { onDesk } from '../../support/desk.js';
import { INTERVAL_PLAN, SPEC_SHEET } from '../../support/scenario.js';

const NOW = '2026-04-02T20:00:00Z';
const COSTS = 'plannedCost=1&failureCost=5';
const PRESENT_MI = 37_000;

describe('the interval advice on the desk', () => {
  let planId = '';
  // The published lives of 38 shock absorbers, as tensioners of 38 vehicles.
  const { test, open, fleet } = onDesk(NOW, async ({ manager, mechanic }) => {
    const posted = async (answering: Promise<{ status: number; body: any }>): Promise<any> => {
      const { status, body } = await answering;
      if (status >= 300) throw new Error(`${status} ${JSON.stringify(body)}`);
      return body;
    };
    const { id: specSheetId } = await posted(manager.post('/v1/spec-sheets', SPEC_SHEET));
    const tensioner = {
      ...{ component: 'tensioner', action: 'replace' },
      everyDistance: { value: PRESENT_MI, unit: 'mi' },
    };
    planId = (
      await posted(
        manager.post('/v1/interval-plans', {
          name: 'Light trucks',
          intervals: [...INTERVAL_PLAN.intervals, tensioner],
        }),
      )
    ).id;
    const { items } = await posted(manager.post('/v1/starter-sets', { sets: [{ set: 'bus' }] }));
    await posted(
      manager.post('/v1/vehicles', {
        ...{ unitNumber: 'B-1', specSheetId: items[0].specSheet.id, inServiceOn: '2021-03-15' },
        intervalPlanId: items[0].intervalPlan.id,
      }),
    );
    const readings: object[] = [];
    for (const [index, { age, failed }] of shockAbsorbers().entries()) {
      const { id: vehicleId } = await posted(
        manager.post('/v1/vehicles', {
          ...{ unitNumber: `S-${index}`, specSheetId, intervalPlanId: planId, inServiceOn: '2021-03-15' },
          ...{ duty: 'normal', inServiceOdometer: { value: 0, unit: 'km' } },
        }),
      );
      const odometer = { value: age, unit: 'km' };
      if (failed)
        await posted(
          mechanic.post('/v1/job-reports', {
            ...{ vehicleId, performedAt: '2025-06-01T15:00:00Z', odometer },
            lines: [{ component: 'tensioner', action: 'replace', failed }],
          }),
        );
      else readings.push({ vehicleId, readAt: '2025-06-01T15:00:00Z', odometer });
    }
    await posted(mechanic.post('/v1/usage-readings', { readings }));
  });
  const everyNow = async (): Promise<number> =>
    (await fleet().manager.get(`/v1/interval-plans/${planId}`)).body.intervals.at(-1).everyDistance.value;
  const advised = (page: Page) => page.getByRole('heading', { name: 'Advised' }).waitFor();

  test('leads from the parts that plans replace to the advice, with ready-made intervals marked', async () => {
    const { page } = await open('/desk/advice');
    await page.getByRole('row', { name: /^Advice for: tensioner Light trucks 37,000 mi/ }).waitFor();
    const bus = page.getByRole('row', { name: /^Advice for: coolant Diesel bus/ });
    expect(await bus.textContent()).toContain('Common practice, not confirmed.');
    await page.getByRole('link', { name: 'Advice for: tensioner' }).press('Enter');
    // Without costs there is no advice, and the service says so.
    await page.getByRole('heading', { name: 'No advice yet' }).waitFor();
    await page.getByLabel('Cost of a planned replacement').fill('1');
    await page.getByLabel('Cost of a failure, with tow and downtime').press('Enter');
    await page.getByText('plannedCost needs failureCost beside it').first().waitFor();
    await page.getByLabel('Cost of a failure, with tow and downtime').fill('5');
    await page.keyboard.press('Enter');
    await advised(page);
    const { body } = await fleet().manager.get(`/v1/interval-advice?component=tensioner&${COSTS}`);
    const shown = (await page.locator('main').textContent()) ?? '';
    for (const { text } of [...body.advice, ...body.cautions]) expect(shown).toContain(text);
    expect(shown).toContain('Counted: 38 parts. 11 failed, 0 taken out while still good, 27 still running.');
    // 14,071 km are 8,743 mi; the curve ends before 37,000 mi.
    expect(shown).toContain('Least at 8,740 mi:');
    expect(shown).toMatch(/Light trucks, now at 37,000 mi: (beyond what|\d)/);
    expect(await page.locator('.drawing .advised').count()).toBe(1);
    expect(await page.locator('.drawing .present').count()).toBe(1);
    await page.getByRole('link', { name: 'All parts' }).press('Enter');
    await bus.getByRole('link').press('Enter');
    const present = page.getByRole('row', { name: /^Diesel bus/ });
    await present.getByText('Common practice, not confirmed.').waitFor();
    expect(await present.textContent()).toContain('ready-made plan');
  });

  test('tells what a change would do, changes the plan, and takes it back', async () => {
    const { page } = await open(`/desk/advice/tensioner?${COSTS}`);
    await advised(page);
    const dialog = page.getByRole('dialog');
    await page
      .getByRole('button', { name: 'See what a change would do: Light trucks, normal duty' })
      .press('Enter');
    await dialog.getByText('the plan Light trucks will say 8,740 mi').waitFor();
    // Asked, and nothing changed so far.
    const would = await dialog.locator('[role=status] li').allTextContents();
    expect(would.length).toBeGreaterThan(0);
    await dialog.getByText('Severe duty has no limit of its own here').waitFor();
    await dialog.getByText('You can undo it').waitFor();
    expect(await everyNow()).toBe(PRESENT_MI);
    // What the service refuses is told in its words, and can be mended.
    await dialog.getByLabel('New interval, mi').fill('1');
    expect(await dialog.getByRole('button', { name: 'Change the plan' }).count()).toBe(0);
    await dialog.getByRole('button', { name: 'See what would change' }).press('Enter');
    await dialog.getByRole('alert').waitFor();
    await dialog.getByLabel('New interval, mi').fill('nine');
    await page.keyboard.press('Enter');
    await dialog.getByText('Type a number above zero.').waitFor();
    await dialog.getByLabel('New interval, mi').fill('9000');
    await page.keyboard.press('Enter');
    await dialog.getByText('will say 9,000 mi').waitFor();
    await dialog.getByRole('button', { name: 'Change the plan' }).press('Enter');
    await page.getByText('The plan Light trucks was changed to 9,000 mi.').waitFor();
    expect(await everyNow()).toBe(9000);
    await page.getByRole('row', { name: /Light trucks normal 38 9,000 mi/ }).waitFor();
    await page.getByRole('button', { name: 'Undo: back to 37,000 mi' }).press('Enter');
    await page.getByText('The plan Light trucks is back at 37,000 mi.').waitFor();
    expect(await everyNow()).toBe(PRESENT_MI);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open(`/desk/advice/tensioner?${COSTS}`, options);
        await advised(page);
        for (const summary of await page.locator('summary').all()) await summary.click();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        const picture = async (name: string): Promise<void> => {
          if (process.env.PICTURES_TO === undefined) return;
          const path = `${process.env.PICTURES_TO}/${name}-${colorScheme}-${width}.png`;
          await page.screenshot({ path, fullPage: true });
        };
        await picture('advice');
        await page.getByRole('button', { name: /^See what a change would do/ }).click();
        await page.getByRole('dialog').getByText('will say').waitFor();
        expect(await findings()).toEqual([]);
        await picture('advice-change');
        await page.keyboard.press('Escape');
        await page.getByRole('link', { name: 'All parts' }).click();
        await page.getByRole('row', { name: /tensioner/ }).waitFor();
        expect(await findings()).toEqual([]);
        await picture('advice-parts');
      });

  test('speaks Spanish', async () => {
    const { page } = await open(`/desk/advice/tensioner?${COSTS}`, { locale: 'es-MX' });
    await page.getByRole('heading', { name: 'Aconsejado' }).waitFor();
    await page.getByText('Se contaron 38 piezas: 11 fallaron').waitFor();
    await page.getByRole('heading', { name: 'Intervalos actuales' }).waitFor();
  });
});

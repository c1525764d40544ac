import { onDesk } from '../../support/desk.js';

describe('the settings of the fleet on the desk', () => {
  const { test, open, fleet } = onDesk('2026-04-02T15:00:00Z', () => Promise.resolve());
  const stored = async () => (await fleet().manager.get('/v1/fleet')).body;

  test('change the time zone once somebody has read what follows', async () => {
    const { page } = await open('/desk/settings');
    await page.getByRole('link', { name: 'The fleet' }).click();
    await page.getByLabel(/^Time zone/).selectOption('America/Chicago');
    await page.getByLabel(/^Units/).selectOption('si');
    await page.getByRole('button', { name: 'Save…' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByText('Another time zone decides which day it is').waitFor();
    await dialog.getByText('Everybody in the fleet sees the other units from now on.').waitFor();
    expect((await stored()).timeZone).not.toBe('America/Chicago');
    await dialog.getByRole('button', { name: 'Save them' }).click();
    await page.getByText('Saved.').waitFor();
    expect(await stored()).toMatchObject({ timeZone: 'America/Chicago', units: 'si', version: 2 });
  });

  test('take a practice value, give back its usual one, and say beside it what is impossible', async () => {
    const { page } = await open('/desk/settings/fleet');
    const minutes = page.getByLabel('Time to hold (min)');
    await minutes.fill('9000');
    const save = async () => {
      await page.getByRole('button', { name: 'Save…' }).click();
      await page.getByRole('dialog').getByRole('button', { name: 'Save them' }).click();
    };
    await save();
    await page.locator('.field', { has: minutes }).locator('.fault').waitFor();
    await minutes.and(page.locator(':focus')).waitFor();
    await minutes.fill('10');
    await save();
    await page.getByText('Saved.').waitFor();
    const { defaults } = await stored();
    expect(defaults.holdMinutes).toBe(10);
    await minutes.fill('');
    await save();
    await page.getByText('Saved.').waitFor();
    expect((await stored()).defaults).toEqual({ ...defaults, holdMinutes: 5 });
    expect(await minutes.inputValue()).toBe('5');
  });

  test('say by keyboard what the labels on vehicles allow, and stop them', async () => {
    await fleet().manager.patch('/v1/fleet', { driverLabels: 'defects' });
    const { page } = await open('/desk/settings/fleet');
    await page.getByLabel(/^By the label/).focus();
    await page.keyboard.type('nothing');
    await page.keyboard.press('Tab');
    await page.getByRole('button', { name: 'Save…' }).focus();
    await page.keyboard.press('Enter');
    await page.getByText('The labels on the vehicles stop working at once.').waitFor();
    await page.getByRole('button', { name: 'Save them' }).focus();
    await page.keyboard.press('Enter');
    await page.getByText('Saved.').waitFor();
    expect((await stored()).driverLabels).toBe('none');
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`are within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/settings/fleet', options);
        await page.getByLabel('Time to hold (min)').waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('speak Spanish', async () => {
    const { page } = await open('/desk/settings/fleet', { locale: 'es-MX' });
    await page.getByLabel('Nombre de la flota').fill('Norte');
    await page.getByRole('button', { name: 'Guardar…' }).click();
    await page.getByRole('dialog').getByText('Nombre de la flota: ').waitFor();
  });
});

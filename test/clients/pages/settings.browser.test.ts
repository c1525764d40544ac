import { onDesk } from '../../support/desk.js';
import { type Receiver, startReceiver } from '../../support/receiver.js';

describe('settings and first steps on the desk', () => {
  const { test, open, fleet } = onDesk('2026-04-02T15:00:00Z', () => Promise.resolve());
  let receiver: Receiver;
  beforeAll(async () => {
    receiver = await startReceiver();
  });
  afterAll(() => receiver.close());

  test('adds, changes and removes a depot, and says beside the field what is wrong', async () => {
    const { page } = await open('/desk/settings');
    await page.getByText('There is no depot yet.').waitFor();
    await page.getByRole('button', { name: 'Add a depot…' }).click();
    await page.getByRole('button', { name: 'Add this depot' }).click();
    await page.locator('dialog .field .fault').first().waitFor();
    await page.getByLabel('Name of the depot').fill('Quarry');
    await page.getByLabel(/^Elevation above sea level/).fill('1500');
    await page.getByRole('button', { name: 'Add this depot' }).click();
    await page.getByRole('button', { name: 'Change Quarry' }).click();
    await page.getByLabel('Name of the depot').fill('Harbour');
    await page.getByRole('button', { name: 'Save' }).click();
    await page.getByRole('rowheader', { name: 'Harbour' }).waitFor();
    const { items } = (await fleet().manager.get('/v1/depots?units=si')).body;
    expect(items).toMatchObject([{ name: 'Harbour' }]);
    await page.getByRole('button', { name: 'Remove Harbour' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Remove it' }).click();
    await page.getByText('There is no depot yet.').waitFor();
    expect((await fleet().manager.get('/v1/depots')).body.items).toEqual([]);
  });

  test('marks ready-made sheets and plans until they are confirmed', async () => {
    await fleet().manager.post('/v1/starter-sets', { sets: [{ set: 'bus' }] });
    const { page } = await open('/desk/settings');
    await page.locator('.ready-made').nth(1).waitFor();
    for (const what of ['spec sheet', 'interval plan']) {
      await page.getByRole('button', { name: `Confirm the ${what} Diesel bus (ready-made)` }).click();
      await page.getByRole('dialog').getByRole('button', { name: 'They are right' }).click();
      await page.getByRole('dialog').waitFor({ state: 'detached' });
    }
    await page.getByText('Confirmed on Apr 2, 2026.').nth(1).waitFor();
    const { body } = await fleet().manager.get('/v1/spec-sheets');
    expect(body.items[0].starter.unconfirmed).toEqual([]);
    const { items } = (await fleet().manager.get('/v1/first-steps')).body;
    expect(items.find(({ step }: any) => step === 'ready-made').done).toBe(true);
  });

  test('tests a target, gives it another secret, shown once, and removes it', async () => {
    const made = await fleet().manager.post('/v1/reminder-targets', {
      kind: 'webhook',
      address: receiver.url,
    });
    const { page } = await open('/desk/settings');
    await page.getByRole('button', { name: `Send a test to ${receiver.url}` }).click();
    await page.getByText('The test arrived.').waitFor();
    expect(receiver.received.length).toBe(1);
    await page.getByRole('button', { name: `New secret for ${receiver.url}` }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Make a new secret' }).click();
    const secret = page.getByRole('dialog', { name: `Secret of ${receiver.url}` }).locator('input');
    expect(await secret.inputValue()).toMatch(/^whsec_/);
    expect(await secret.inputValue()).not.toBe(made.body.secret);
    await page.getByRole('dialog').getByRole('button', { name: 'Close' }).click();
    await page.getByRole('button', { name: `Remove ${receiver.url}` }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Remove it' }).click();
    await page.getByRole('button', { name: `Remove ${receiver.url}` }).waitFor({ state: 'detached' });
    expect((await fleet().manager.get('/v1/reminder-targets')).body.items).toEqual([]);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        await fleet().manager.post('/v1/starter-sets', { sets: [{ set: 'bus' }] });
        await fleet().manager.post('/v1/depots', { name: 'Quarry' });
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/settings', options);
        await page.locator('.ready-made').nth(1).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        await page.getByRole('link', { name: 'First steps' }).first().click();
        await page.getByRole('group', { name: 'Ready-made sets' }).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('speaks Spanish', async () => {
    const { page } = await open('/desk/settings', { locale: 'es-MX' });
    await page.getByRole('heading', { name: 'A quién se avisa' }).waitFor();
    await page.getByRole('link', { name: 'Primeros pasos' }).first().click();
    await page.getByText('Lo que le falta a esta flota').waitFor();
  });
});

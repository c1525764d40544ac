import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { openPage } from '../../support/pages.js';

const NOW = '2026-04-02T15:00:00Z';

describe('people on the desk', () => {
  let depotId: string;
  const { test, open, fleet, service, browser } = onDesk(NOW, async ({ manager }) => {
    const { body } = await manager.post('/v1/depots', { name: 'Quarry' });
    depotId = body.id;
  });

  async function add(page: Page, name: string): Promise<void> {
    await page.getByRole('button', { name: 'Add a person…' }).click();
    await page.getByLabel('Name').fill(name);
    await page.getByLabel('Badge').fill('M-17');
    await page.getByLabel('Quarry').check();
    await page.getByRole('button', { name: 'Add this person' }).click();
    await page.getByRole('heading', { name }).waitFor();
  }

  test('adds a mechanic, whose phone signs in by the code, and ends that sign-in', async () => {
    const { page } = await open('/desk/people');
    await page.getByText('Nobody here.').waitFor();
    await add(page, 'Kim Adeyemi');
    const { body } = await fleet().manager.get('/v1/people');
    expect(body.items).toMatchObject([
      { name: 'Kim Adeyemi', badge: 'M-17', role: 'mechanic', depotIds: [depotId], state: 'active' },
    ]);
    await page.getByText('No device is signed in.').waitFor();
    await page.getByRole('button', { name: 'Show the code…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Sign in Kim Adeyemi' });
    await dialog.getByRole('img', { name: 'QR code' }).waitFor();
    expect(await dialog.getByRole('img').evaluate((image: any) => image.naturalWidth)).toBeGreaterThan(0);
    await dialog.getByText('It works once, within 10 minutes.').waitFor();
    const address = await dialog.getByLabel('Or open this address on the device').inputValue();
    const phone = await openPage(await browser.get(), address, { viewport: { width: 360, height: 740 } });
    await phone.page.waitForURL('**/phone');
    await dialog.getByRole('button', { name: 'Close' }).click();
    await page.reload();
    await page.getByRole('button', { name: /^Sign out .+/ }).click();
    await page.getByText('is signed out. To undo this, sign it in again').waitFor();
    await page.getByText('No device is signed in.').waitFor();
    const asked = await phone.page.evaluate<number>(`fetch('/v1/me').then(({ status }) => status)`);
    expect(asked).toBe(401);
    await phone.close();
  });

  test('keeps what was typed when it is refused, and says why beside the field', async () => {
    const { manager } = fleet();
    await manager.post('/v1/people', { name: 'Ana', role: 'mechanic', badge: 'M-17' });
    const { page, findings } = await open('/desk/people');
    await page.getByRole('button', { name: 'Add a person…' }).click();
    await page.getByLabel('Name').fill('Bo');
    await page.getByLabel('Badge').fill('M-17');
    await page.getByRole('button', { name: 'Add this person' }).click();
    await page.locator('dialog .fault').waitFor();
    expect(await page.locator('dialog .fault').textContent()).toBe('is taken by another person');
    expect(await page.getByLabel('Name').inputValue()).toBe('Bo');
    expect(await findings()).toEqual([]);
    await page.getByLabel('Name').fill('');
    await page.getByLabel('Badge').fill('M-18');
    await page.getByRole('button', { name: 'Add this person' }).click();
    await page.locator('[aria-invalid=true]').first().waitFor();
    expect(await page.locator('dialog .field .fault').count()).toBe(1);
  });

  test('says what follows when somebody leaves, and lists who has left', async () => {
    const { manager } = fleet();
    const { body: ana } = await manager.post('/v1/people', { name: 'Ana', role: 'mechanic' });
    const { body: bo } = await manager.post('/v1/people', { name: 'Bo', role: 'driver' });
    const { page } = await open(`/desk/people/${ana.id}`);
    await page.getByRole('button', { name: 'Has left…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Has Ana left?' });
    await dialog.getByText('All devices of this person are signed out').waitFor();
    await dialog.getByRole('button', { name: 'Has left' }).click();
    await page.getByText('Left on Apr 2, 2026.').waitFor();
    expect(await page.getByRole('button', { name: 'Show the code…' }).count()).toBe(0);
    expect((await manager.get(`/v1/people/${ana.id}`)).body.state).toBe('left');
    await page.getByRole('link', { name: 'All people' }).click();
    await page.getByRole('link', { name: 'Bo' }).waitFor();
    expect(await page.getByRole('link', { name: 'Ana' }).count()).toBe(0);
    await page.getByLabel('Show').selectOption('Who has left');
    await page.getByRole('link', { name: 'Ana' }).click();
    await page.getByRole('button', { name: 'Is back' }).click();
    await page.getByRole('button', { name: 'Show the code…' }).waitFor();
    await page.goto(`${service().url}/desk/people/${bo.id}`);
    await page.getByRole('button', { name: 'Delete…' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Delete' }).click();
    await page.getByRole('heading', { name: 'People' }).waitFor();
    expect((await manager.get(`/v1/people/${bo.id}`)).status).toBe(404);
  });

  test('does not overwrite what somebody else has changed meanwhile', async () => {
    const { manager } = fleet();
    const { body: ana } = await manager.post('/v1/people', { name: 'Ana', role: 'mechanic' });
    const { page } = await open(`/desk/people/${ana.id}`);
    await page.getByLabel('Badge').fill('M-9');
    expect((await manager.patch(`/v1/people/${ana.id}`, { role: 'driver' })).status).toBe(200);
    await page.getByRole('button', { name: 'Save changes' }).click();
    await page.locator('.person-details .fault').waitFor();
    expect(await page.getByLabel('Badge').inputValue()).toBe('M-9');
    expect((await manager.get(`/v1/people/${ana.id}`)).body).toMatchObject({ role: 'driver', badge: null });
  });

  test('makes a token that is shown once and works, and revokes it', async () => {
    const { page } = await open('/desk/people');
    await page.getByRole('button', { name: 'Make a token…' }).click();
    await page.getByLabel('Who or what will use it').fill('parts system');
    await page.getByRole('button', { name: 'Make this token' }).click();
    const token = await page.getByLabel('The token', { exact: true }).inputValue();
    const used = service().client(token);
    expect((await used.get('/v1/me')).body.role).toBe('dashboard');
    await page.getByRole('button', { name: 'Close' }).click();
    await page.getByRole('button', { name: 'Revoke parts system' }).click();
    await page.getByRole('dialog').getByText('This cannot be undone').waitFor();
    await page.getByRole('dialog').getByRole('button', { name: 'Revoke' }).click();
    await page.getByRole('button', { name: 'Revoke parts system' }).waitFor({ state: 'detached' });
    expect((await used.get('/v1/me')).status).toBe(401);
    expect(await page.content()).not.toContain(token);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        const { body: ana } = await fleet().manager.post('/v1/people', { name: 'Ana', role: 'mechanic' });
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open('/desk/people', options);
        await page.getByRole('link', { name: 'Ana' }).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        await page.goto(`${service().url}/desk/people/${ana.id}`);
        await page.getByRole('button', { name: 'Show the code…' }).click();
        await page.getByRole('img', { name: 'QR code' }).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('speaks Spanish', async () => {
    const { page } = await open('/desk/people', { locale: 'es-MX' });
    await page.getByRole('heading', { name: 'Personas' }).waitFor();
    await page.getByRole('button', { name: 'Agregar una persona…' }).click();
    await page
      .getByRole('dialog')
      .getByText('No elija ninguno para que la persona vea toda la flota.')
      .waitFor();
  });
});

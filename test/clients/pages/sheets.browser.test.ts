import { onDesk } from '../../support/desk.js';

const SHEET = {
  name: 'Hexby 4.5',
  coolant: {
    ...{ base: 'ethylene-glycol', capacity: { value: 19, unit: 'L' } },
    ...{ capRating: { value: 90, unit: 'kPa' }, targetStrengthPercent: 50 },
  },
  holdTest: { method: 'vacuum', target: { value: 23, unit: 'inHg' }, minutes: 5 },
  fasteners: [{ name: 'pump-to-block', count: 6, torque: { value: 35, unit: 'N.m' } }],
  belts: [{ name: 'fan', designation: '6PK1880' }],
  hoses: ['upper', 'lower'],
};

describe('spec sheets on the desk', () => {
  let id: string;
  const { test, open, fleet } = onDesk('2026-04-02T15:00:00Z', async ({ manager }) => {
    id = (await manager.post('/v1/spec-sheets', SHEET)).body.id;
    await manager.post('/v1/vehicles', { unitNumber: 'B-1', specSheetId: id });
  });
  const stored = async () => (await fleet().manager.get(`/v1/spec-sheets/${id}?units=si`)).body;

  test('changes one figure in the units of the fleet, and leaves the others as they are', async () => {
    const { page } = await open('/desk/settings');
    await page.getByRole('link', { name: 'Hexby 4.5' }).click();
    const capacity = page.getByLabel('Capacity of the whole system (qt)');
    await capacity.waitFor();
    // 19 L are 20.08 qt.
    expect(await capacity.inputValue()).toBe('20.08');
    await page.getByLabel('Cap rating (psi)').fill('16');
    await page.getByRole('button', { name: 'Save…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Save these changes of Hexby 4.5?' });
    await dialog.getByText('Coolant: Cap rating (psi): 13.05 → 16').waitFor();
    await dialog.getByText('Verdicts given so far stand.').waitFor();
    expect((await stored()).version).toBe(1);
    await dialog.getByRole('button', { name: 'Save them' }).click();
    await page.getByText('Saved.').waitFor();
    const { coolant, fasteners, hoses } = await stored();
    // 16 psi are 110.3 kPa.
    expect(coolant.capRating.value).toBeCloseTo(110.316, 2);
    expect(coolant.capacity).toEqual({ value: 19, unit: 'L' });
    expect(fasteners[0].torque).toEqual({ value: 35, unit: 'N.m' });
    expect(hoses).toEqual(['upper', 'lower']);
  });

  test('takes a pressure test in psi, a belt, a fastener, a hose and another circuit', async () => {
    const { page } = await open(`/desk/settings/sheets/${id}`);
    await page.getByLabel(/^Done by/).selectOption('pressure');
    await page.getByLabel('Vacuum or pressure to reach (psi)').fill('11');
    await page.getByLabel('Hoses, one name a line').fill('upper\nlower\nheater supply');
    await page.getByRole('button', { name: 'Add a group of fasteners' }).click();
    await page.getByLabel('Name of the group').last().fill('thermostat housing');
    await page.getByLabel('How many fasteners').last().fill('2');
    await page.getByLabel('Torque (lbf·ft)', { exact: true }).last().fill('15');
    await page.getByRole('button', { name: 'Add a circuit' }).click();
    await page.getByLabel('Circuit', { exact: false }).last().selectOption('charge-air');
    await page.getByLabel(/^Base/).last().selectOption('propylene-glycol');
    await page.getByLabel('Capacity of the whole system (qt)').last().fill('6');
    await page.getByRole('button', { name: 'Save…' }).click();
    await page.getByRole('dialog').getByText('New: thermostat housing').waitFor();
    await page.getByRole('dialog').getByText('New: charge-air circuit').waitFor();
    await page.getByRole('dialog').getByRole('button', { name: 'Save them' }).click();
    await page.getByText('Saved.').waitFor();
    const sheet = await stored();
    expect(sheet.holdTest.method).toBe('pressure');
    // 11 psi are 75.8 kPa.
    expect(sheet.holdTest.target.value).toBeCloseTo(75.84, 1);
    expect(sheet.hoses).toEqual(['upper', 'lower', 'heater supply']);
    expect(sheet.fasteners[1]).toMatchObject({ name: 'thermostat housing', count: 2 });
    expect(sheet.otherCircuits).toMatchObject([
      { circuit: 'charge-air', coolant: { base: 'propylene-glycol' } },
    ]);
  });

  test('says beside the field, by keyboard, what the maker cannot have meant', async () => {
    const { page } = await open(`/desk/settings/sheets/${id}`);
    const drainable = page.getByLabel('What comes out when it is drained (qt)');
    await drainable.focus();
    await page.keyboard.type('44');
    await page.keyboard.press('Enter');
    await page.getByRole('dialog').waitFor();
    await page.getByRole('button', { name: 'Save them' }).focus();
    await page.keyboard.press('Enter');
    const refused = await fleet().manager.patch(`/v1/spec-sheets/${id}`, {
      coolant: { drainable: { value: 44, unit: 'qt' } },
    });
    await page.locator('.field', { has: drainable }).getByText(refused.body.errors[0].detail).waitFor();
    await drainable.and(page.locator(':focus')).waitFor();
    expect(await drainable.inputValue()).toBe('44');
    expect((await stored()).version).toBe(1);
  });

  test('keeps what was typed when somebody else changed the sheet meanwhile', async () => {
    const { page } = await open(`/desk/settings/sheets/${id}`);
    await page.getByLabel('Cap rating (psi)').fill('16');
    await page.getByRole('button', { name: 'Save…' }).click();
    await fleet().manager.patch(`/v1/spec-sheets/${id}`, { coolant: { targetStrengthPercent: 55 } });
    await page.getByRole('dialog').getByRole('button', { name: 'Save them' }).click();
    await page.getByRole('alert').getByText('Coolant: Strength to fill with (%): 50 → 55').waitFor();
    expect(await page.getByLabel('Cap rating (psi)').inputValue()).toBe('16');
    await page.getByRole('button', { name: 'Save…' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Save them' }).click();
    await page.getByText('Saved.').waitFor();
    const { coolant } = await stored();
    expect(coolant.targetStrengthPercent).toBe(55);
    expect(coolant.capRating.value).toBeCloseTo(110.316, 2);
  });

  test('marks ready-made figures until they are replaced or confirmed', async () => {
    await fleet().manager.post('/v1/starter-sets', { sets: [{ set: 'bus' }] });
    const made = (await fleet().manager.get('/v1/spec-sheets')).body.items.find(
      ({ starter }: any) => starter !== null,
    );
    const { page } = await open(`/desk/settings/sheets/${made.id}`);
    const marks = page.locator('.field .note');
    await marks.first().waitFor();
    const count = await marks.count();
    await page.getByLabel('Capacity of the whole system (qt)').fill('33');
    await page.getByRole('button', { name: 'Save…' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Save them' }).click();
    await page.getByText('Saved.').waitFor();
    expect(await marks.count()).toBe(count - 1);
    await page.getByRole('link', { name: 'Begin a new spec sheet with these figures' }).click();
    await page.getByText('The copy will not say so any more.').waitFor();
    await page.goBack();
    await page.getByRole('button', { name: `Confirm the spec sheet ${made.name}` }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'They are right' }).click();
    await marks.first().waitFor({ state: 'detached' });
    const after = (await fleet().manager.get(`/v1/spec-sheets/${made.id}`)).body;
    expect(after.starter.unconfirmed).toEqual([]);
  });

  test('adds an empty sheet once it says what it must, and removes it', async () => {
    const { page } = await open('/desk/settings/sheets/new');
    await page.getByRole('button', { name: 'Add this spec sheet' }).click();
    await page.locator('.field .fault').nth(2).waitFor();
    await page.getByLabel('Name', { exact: true }).fill('Generator');
    await page.getByLabel(/^Base/).selectOption('ethylene-glycol');
    await page.getByLabel('Capacity of the whole system (qt)').fill('8,5');
    await page.getByRole('button', { name: 'Add this spec sheet' }).click();
    await page.getByRole('heading', { name: 'Generator' }).waitFor();
    const { items } = (await fleet().manager.get('/v1/spec-sheets')).body;
    expect(items[0]).toMatchObject({ name: 'Generator', coolant: { capacity: { value: 8.5, unit: 'qt' } } });
    await page.getByRole('button', { name: 'Remove the spec sheet Generator' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Remove it' }).click();
    await page.getByRole('heading', { name: 'Settings' }).waitFor();
    expect((await fleet().manager.get('/v1/spec-sheets')).body.items).toHaveLength(1);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`are within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open(`/desk/settings/sheets/${id}`, options);
        await page.getByRole('button', { name: 'Add a belt' }).click();
        await page.evaluate('document.querySelectorAll("details").forEach((one) => (one.open = true))');
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('speak Spanish', async () => {
    const { page } = await open(`/desk/settings/sheets/${id}`, { locale: 'es-MX' });
    await page.getByLabel('Presión nominal del tapón (psi)').fill('16');
    await page.getByRole('button', { name: 'Guardar…' }).click();
    await page.getByText('Anticongelante: Presión nominal del tapón (psi): 13.05 → 16').waitFor();
  });
});

import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { postScenario, type Scenario } from '../../support/scenario.js';

const NOW = '2026-04-02T15:00:00Z';
const ALL = 'state=late,due,window,not-due,no-baseline';

const kindOf = ({ depotId, specSheetId, intervalPlanId }: Scenario) => ({
  ...{ depotId, specSheetId, intervalPlanId, duty: 'severe' },
  ...{ inServiceOn: '2021-03-15', inServiceOdometer: { value: 12, unit: 'mi' } },
});

describe('the due list on the desk', () => {
  let scenario: Scenario;
  const { test, open, fleet, service } = onDesk(NOW, async (made) => {
    scenario = await postScenario(made);
  });

  const rows = (page: Page) => page.locator('tr[data-line]');
  const units = (page: Page): Promise<string[]> => page.locator('tr[data-line] .unit').allTextContents();

  /** Vehicles of the same kind: each has four lines. */
  async function addVehicles(count: number): Promise<void> {
    for (let number = 0; number < count; number++) {
      const { status } = await fleet().manager.post('/v1/vehicles', {
        unitNumber: `T-${300 + number}`,
        ...kindOf(scenario),
        inServiceOn: `2021-0${1 + (number % 6)}-15`,
      });
      expect(status).toBe(201);
    }
  }

  test('shows 25 lines on a screen of a desk, and the next page on demand, without one twice', async () => {
    await addVehicles(29);
    const { page } = await open(`/desk/due?${ALL}`, { viewport: { width: 1280, height: 800 } });
    await rows(page).nth(99).waitFor();
    expect(await rows(page).count()).toBe(100);
    const whole = await page.evaluate<number>(
      `[...document.querySelectorAll('tr[data-line]')].filter((row) => row.getBoundingClientRect().bottom <= innerHeight).length`,
    );
    expect(whole).toBeGreaterThanOrEqual(25);
    await page.getByText('100 lines shown. There are more.').waitFor();
    await page.getByRole('button', { name: 'Show more' }).click();
    await page.getByText('120 lines shown. That is all.').waitFor();
    const ids = await rows(page).evaluateAll((all) => all.map((row) => row.getAttribute('data-line')));
    expect(new Set(ids).size).toBe(120);
  });

  test('lists the lines in the order of the service, each with its words and its strip of weeks', async () => {
    await addVehicles(3);
    const { page } = await open(`/desk/due?${ALL}`);
    await rows(page).nth(15).waitFor();
    const { body } = await fleet().manager.get(`/v1/due-list?${ALL}`);
    expect(await units(page)).toEqual(body.items.map((line: any) => line.vehicle.unitNumber));
    const late = page.locator('tr.late').first();
    expect(await late.textContent()).toContain('overdue');
    expect(await late.locator('svg.strip').getAttribute('aria-label')).toMatch(
      /^window from .*, overdue from /,
    );
    expect(await late.locator('.strip .today').count()).toBe(1);
    expect(await late.locator('.strip .band').count()).toBe(0);
  });

  test('draws the days that an estimate may come to', async () => {
    for (const [day, miles] of [
      ['2026-01-05', 50_000],
      ['2026-02-20', 53_600],
      ['2026-04-01', 57_000],
    ] as const) {
      const odometer = { value: miles, unit: 'mi' };
      const reading = { unitNumber: 'R-114', readAt: `${day}T10:00:00Z`, odometer };
      const answer = await fleet().manager.post('/v1/usage-readings', { readings: [reading] });
      expect(answer.status).toBeLessThan(300);
    }
    const { page } = await open(`/desk/due?${ALL}`);
    const belt = rows(page).filter({ hasText: 'drive belt: replace' });
    expect(await belt.locator('svg.strip').getAttribute('aria-label')).toMatch(/between .* and /);
    const [band, today] = await Promise.all([
      belt.locator('.strip .band').boundingBox(),
      belt.locator('.strip .today').boundingBox(),
    ]);
    expect(band!.width).toBeGreaterThan(1);
    expect(band!.x).toBeGreaterThan(today!.x);
  });

  test('keeps its filters in the address, and finds them there', async () => {
    await addVehicles(2);
    const { page } = await open('/desk/due');
    await rows(page).first().waitFor();
    await page.getByLabel('Part of the unit number').fill('t-301');
    await page.waitForURL(/q=t-301/);
    await rows(page).filter({ hasNotText: 'T-301' }).first().waitFor({ state: 'detached' });
    await page.getByLabel('Component').selectOption('coolant');
    await page.getByRole('combobox', { name: 'Depot', exact: true }).selectOption({ label: 'Ridge' });
    await page.getByRole('checkbox', { name: /overdue/ }).uncheck();
    await page.getByRole('checkbox', { name: /not due/ }).check();
    await page.waitForURL(/state=due%2Cwindow%2Cnot-due/);
    await page.getByLabel('Group').selectOption('depot');
    await page.waitForURL(/group=depot/);
    const asked = new URL(page.url()).searchParams;
    expect(Object.fromEntries(asked)).toEqual({
      depot: scenario.depotId,
      component: 'coolant',
      state: 'due,window,not-due',
      q: 't-301',
      group: 'depot',
    });
    await page.reload();
    await page.getByLabel('Part of the unit number').waitFor();
    expect(await page.getByLabel('Part of the unit number').inputValue()).toBe('t-301');
    expect(await page.getByLabel('Component').inputValue()).toBe('coolant');
    await page.locator('option:checked', { hasText: 'Ridge' }).waitFor({ state: 'attached' });
  });

  test('keeps filters under a name on this browser, and lets them go', async () => {
    await addVehicles(2);
    const { page, findings } = await open('/desk/due?state=late&q=T-30');
    await page.getByRole('button', { name: 'Save these filters…' }).click();
    await page.getByLabel('Name, kept on this browser').fill('Late thirties');
    await page.keyboard.press('Enter');
    expect(await findings()).toEqual([]);
    await page.goto(`${service().url}/desk/due?group=vehicle`);
    await page.getByRole('link', { name: 'Late thirties' }).click();
    await page.waitForURL(/state=late&q=T-30$/);
    expect(await page.getByLabel('Part of the unit number').inputValue()).toBe('T-30');
    expect(await page.getByRole('button', { name: 'Save these filters…' }).count()).toBe(0);
    await page.getByRole('button', { name: 'Remove the filters Late thirties' }).click();
    await page.reload();
    await page.getByRole('button', { name: 'Save these filters…' }).waitFor();
    expect(await page.getByRole('link', { name: 'Late thirties' }).count()).toBe(0);
  });

  test('groups by vehicle, the one with the worst line first', async () => {
    await addVehicles(2);
    const { page } = await open(`/desk/due?${ALL}&group=vehicle`);
    await rows(page).nth(11).waitFor();
    const { body } = await fleet().manager.get(`/v1/due-list?${ALL}`);
    const order = [...new Set<string>(body.items.map((line: any) => line.vehicle.unitNumber))];
    expect(await page.locator('tr.group').allTextContents()).toEqual(order.map((unit) => `${unit}: 4 lines`));
  });

  test('selects by keyboard: arrows, space, and a range with Shift', async () => {
    await addVehicles(2);
    const { page } = await open(`/desk/due?${ALL}`);
    await rows(page).nth(11).waitFor();
    await page.getByLabel('Select all rows shown').focus();
    await page.keyboard.press('Tab');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Space');
    await page.getByText('1 line selected', { exact: true }).waitFor();
    await page.keyboard.press('Shift+ArrowDown');
    await page.keyboard.press('Shift+ArrowDown');
    await page.getByText('3 lines selected', { exact: true }).waitFor();
    const chosen = await page
      .locator('tr[aria-selected=true]')
      .evaluateAll((all) => all.map((row) => row.textContent));
    expect(chosen).toEqual((await rows(page).allTextContents()).slice(1, 4));
    await page.keyboard.press('End');
    expect(await page.evaluate(`document.activeElement.closest('tr').dataset.line`)).toBe(
      await rows(page).last().getAttribute('data-line'),
    );
    await page.keyboard.press('Escape');
    await page.getByText('No line selected').waitFor();
    await rows(page).nth(2).getByRole('checkbox').click();
    await rows(page)
      .nth(5)
      .getByRole('checkbox')
      .click({ modifiers: ['Shift'] });
    await page.getByText('4 lines selected', { exact: true }).waitFor();
  });

  test('puts the selected lines off, and says of each line what became of it', async () => {
    await addVehicles(2);
    const { body } = await fleet().manager.get('/v1/due-list');
    const [first, second, third] = body.items;
    expect(third).toBeDefined();
    const already = { until: '2026-05-04', reason: 'waits for parts' };
    expect((await fleet().manager.post(`/v1/due-list/${second.id}/postpone`, already)).status).toBe(200);
    const { page } = await open(`/desk/due?${ALL}`);
    for (const { id } of [first, second, third])
      await page.locator(`tr[data-line="${id}"]`).getByRole('checkbox').click();
    await page.getByRole('button', { name: 'Put off…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Put off 3 lines' });
    await dialog.getByText('You can take this back at any time').waitFor();
    await dialog.getByRole('button', { name: 'Put off 3 lines' }).click();
    const until = dialog.getByLabel('Until');
    const reason = dialog.getByLabel('Reason, for whoever asks later');
    await dialog.getByText('is blank').waitFor();
    expect(await reason.getAttribute('aria-invalid')).toBe('true');
    await reason.fill('the bay is closed');
    await dialog.getByRole('button', { name: 'Put off 3 lines' }).click();
    await dialog.getByText('The day is missing.').first().waitFor();
    expect(await until.getAttribute('aria-invalid')).toBe('true');
    expect(await reason.getAttribute('aria-invalid')).toBe('false');
    await until.fill('2026-04-20');
    await dialog.getByRole('button', { name: 'Put off 3 lines' }).click();
    await dialog.getByText('2 lines were put off.').waitFor();
    await dialog.getByText('1 line was not put off.').waitFor();
    const outcomes = await dialog.getByRole('listitem').allTextContents();
    expect(outcomes.filter((text) => text.endsWith('due Mon, Apr 20, 2026'))).toHaveLength(2);
    const told = await fleet().manager.post(`/v1/due-list/${second.id}/postpone`, already);
    expect(outcomes.filter((text) => text.endsWith(told.body.detail))).toHaveLength(1);
    await dialog.getByRole('button', { name: 'Close' }).click();
    await page.getByText('1 line selected', { exact: true }).waitFor();
    await page.locator(`tr[data-line="${first.id}"]`).getByText('Put off until Mon, Apr 20, 2026.').waitFor();
    const after = await fleet().manager.get(`/v1/due-list?${ALL}`);
    const dueOn = (id: string) => after.body.items.find((line: any) => line.id === id).dueOn;
    expect([first, second, third].map(({ id }) => dueOn(id))).toEqual([
      '2026-04-20',
      '2026-05-04',
      '2026-04-20',
    ]);
  });

  /** Selects the lines of a vehicle. */
  async function select(page: Page, unit: string): Promise<number> {
    const own = rows(page).filter({ hasText: unit });
    await own.first().waitFor();
    const count = await own.count();
    for (let at = 0; at < count; at++) await own.nth(at).getByRole('checkbox').click();
    return count;
  }
  const visits = async (): Promise<any[]> => (await fleet().manager.get('/v1/visits')).body.items;
  const person = async (name: string): Promise<string> =>
    (await fleet().manager.post('/v1/people', { name, role: 'mechanic' })).body.id;

  test('plans one visit for the lines of each vehicle, and says of each line what became of it', async () => {
    await addVehicles(1);
    const { page } = await open('/desk/due');
    const count = (await select(page, 'R-114')) + (await select(page, 'T-300'));
    await page.getByRole('button', { name: 'Plan a visit…' }).click();
    const dialog = page.getByRole('dialog', { name: `Plan a visit for ${count} lines` });
    await dialog.getByText(`2 vehicles come in on the day you give for these ${count} lines`).waitFor();
    await dialog.getByText('To take it back, cancel the visit under Visits.').waitFor();
    expect(await dialog.getByLabel('Depot').locator('option:checked').textContent()).toBe('Ridge');
    await dialog.getByLabel('Day of the visit').fill('2026-04-04');
    await dialog.getByRole('button', { name: 'Plan a visit for' }).click();
    await dialog
      .getByText('is a Saturday, and Ridge does not work on that day of the week')
      .first()
      .waitFor();
    expect(await dialog.getByLabel('Day of the visit').getAttribute('aria-invalid')).toBe('true');
    await dialog.getByLabel('Day of the visit').fill('2026-04-06');
    await page.keyboard.press('Enter');
    // One vehicle's coolant and pump, and most of the other's, fill the eight hours of the day.
    await dialog.getByText(`${count - 1} lines are on a visit now.`).waitFor();
    await dialog.getByText(/On 2026-04-06, [\d.]+ h of the 8 h of labour at Ridge are taken/).waitFor();
    const booked = await dialog.getByRole('listitem').allTextContents();
    expect(booked).toHaveLength(count - 1);
    for (const text of booked) expect(text).toMatch(/^(R-114|T-300), .*: visit on Mon, Apr 6, 2026$/);
    const made = await visits();
    expect(made.map(({ vehicle }) => vehicle.unitNumber).sort()).toEqual(['R-114', 'T-300']);
    expect(made.flatMap(({ lines }) => lines)).toHaveLength(booked.length);
    await dialog.getByRole('button', { name: 'Close' }).click();
    await page.locator(`tr[data-line="${made[0].lines[0].dueLineId}"]`).getByText('Planned for').waitFor();
    await page.getByText('1 line selected', { exact: true }).waitFor();
  });

  test('assigns the visits of the selected lines, offers to plan the others, and takes it back', async () => {
    await addVehicles(1);
    const [kim] = [await person('Kim Oduya'), await person('Lee Park')];
    const { body } = await fleet().manager.get('/v1/due-list?q=R-114');
    const ids = body.items.map(({ id }: any) => id);
    expect((await fleet().manager.post('/v1/visits/book', { ids, day: '2026-04-06' })).body.done).toBe(3);
    const { page, findings } = await open('/desk/due');
    const others = await select(page, 'T-300');
    await select(page, 'R-114');
    await page.getByRole('button', { name: 'Assign…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Assign 1 visit' });
    await dialog
      .getByText(`${others} selected lines are on no visit, and only visits are assigned.`)
      .waitFor();
    const go = dialog.getByRole('button', { name: 'Assign 1 visit' });
    expect(await go.isDisabled()).toBe(true);
    await dialog.getByLabel('Who does it').selectOption({ label: 'Kim Oduya' });
    expect(await findings()).toEqual([]);
    await go.click();
    await dialog.getByText('3 lines were assigned as you chose.').waitFor();
    expect(await dialog.getByRole('listitem').first().textContent()).toMatch(
      /^R-114, .*: Kim Oduya does it$/,
    );
    expect((await visits())[0].assignedTo).toEqual({ id: kim, name: 'Kim Oduya' });
    await dialog.getByRole('button', { name: 'Close' }).click();
    // What was on no visit is still selected.
    await page.getByText(`${others} lines selected`, { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Assign…' }).click();
    await page.getByRole('button', { name: 'Plan a visit first…' }).click();
    await page.getByRole('dialog', { name: `Plan a visit for ${others} lines` }).waitFor();
    await page.keyboard.press('Escape');
    await page.getByLabel('Select all rows shown').uncheck();
    await select(page, 'R-114');
    await page.getByRole('button', { name: 'Assign…' }).click();
    await dialog.getByLabel('Who does it').selectOption({ label: 'Nobody any more' });
    await go.click();
    await dialog.getByText('nobody is assigned any more').first().waitFor();
    expect((await visits())[0].assignedTo).toBeNull();
  });

  test('groups by visit, in order of days, with whose it is; what is on no visit comes last', async () => {
    await addVehicles(2);
    const kim = await person('Kim Oduya');
    const dayOf = [
      ['T-300', '2026-04-08'],
      ['R-114', '2026-04-06'],
    ] as const;
    for (const [unit, day] of dayOf) {
      const { body } = await fleet().manager.get(`/v1/due-list?q=${unit}`);
      const ids = body.items.map(({ id }: any) => id);
      expect((await fleet().manager.post('/v1/visits/book', { ids, day })).body.refused).toBe(0);
    }
    const [first] = await visits();
    await fleet().manager.post(`/v1/visits/${first.id}/assign`, { personId: kim });
    const { page } = await open('/desk/due');
    await rows(page).first().waitFor();
    await page.getByLabel('Group').selectOption({ label: 'by visit' });
    await page.waitForURL(/group=visit/);
    await page.locator('tr.group', { hasText: 'Kim Oduya' }).waitFor();
    const groups = await page.locator('tr.group').allTextContents();
    expect(groups.slice(0, 2)).toEqual([
      'Mon, Apr 6, 2026, R-114, Ridge, Kim Oduya: 3 lines',
      'Wed, Apr 8, 2026, T-300, Ridge, nobody assigned yet: 3 lines',
    ]);
    expect(groups.slice(2)).toEqual([expect.stringMatching(/^On no visit: \d lines?$/)]);
    expect((await units(page)).slice(0, 6)).toEqual([
      ...['R-114', 'R-114', 'R-114', 'T-300', 'T-300', 'T-300'],
    ]);
  });

  test('takes back what was put off, of the selected lines those that were', async () => {
    await addVehicles(1);
    const { body } = await fleet().manager.get('/v1/due-list');
    const [first, second] = body.items;
    const given = { ids: [first.id], until: '2026-04-20', reason: 'the bay is closed' };
    expect((await fleet().manager.post('/v1/due-list/postpone', given)).body.done).toBe(1);
    const { page } = await open(`/desk/due?${ALL}`);
    await page.locator(`tr[data-line="${second.id}"]`).getByRole('checkbox').click();
    expect(await page.getByRole('button', { name: 'Take back 1 postponement…' }).count()).toBe(0);
    await page.locator(`tr[data-line="${first.id}"]`).getByRole('checkbox').click();
    await page.getByRole('button', { name: 'Take back 1 postponement…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Take back 1 postponement' });
    await dialog.getByRole('button', { name: 'Take back 1 postponement' }).click();
    await dialog.getByText('is blank').waitFor();
    await dialog.getByLabel('Reason, for whoever asks later').fill('the bay is open again');
    await dialog.getByRole('button', { name: 'Take back 1 postponement' }).click();
    await dialog.getByText('1 line is no longer put off.').waitFor();
    await dialog.getByRole('button', { name: 'Close' }).click();
    await page.getByText('1 line selected', { exact: true }).waitFor();
    const after = await fleet().manager.get(`/v1/due-list?${ALL}`);
    const line = after.body.items.find(({ id }: any) => id === first.id);
    expect(line).toMatchObject({ postponedUntil: null, dueOn: first.dueOn });
  });

  test('follows what happens elsewhere, and says when it is cut off', async () => {
    const { page, complaints } = await open('/desk/due');
    await page.getByText('Live: changes show here by themselves.').waitFor();
    await rows(page).first().waitFor();
    const id = await rows(page).first().getAttribute('data-line');
    const put = { until: '2026-06-01', reason: 'waits for parts' };
    // The list is loaded anew a moment after the change; what comes later must not be in it.
    const loadedAnew = page.waitForResponse((response) => response.url().includes('/v1/due-list?'));
    expect((await fleet().manager.post(`/v1/due-list/${id}/postpone`, put)).status).toBe(200);
    await page.locator(`tr[data-line="${id}"]`).waitFor({ state: 'detached' });
    await (await loadedAnew).finished();
    await page.route('**/v1/due-list/events', (route) => route.abort());
    service().app.getHttpServer().closeAllConnections();
    await page.getByText('Cut off: what you see may be out of date.').waitFor();
    expect(await page.getByText('Live: changes').count()).toBe(0);
    const added = await fleet().manager.post('/v1/vehicles', { unitNumber: 'NEW-1', ...kindOf(scenario) });
    expect(added.status).toBe(201);
    expect(await units(page)).not.toContain('NEW-1');
    await page.unroute('**/v1/due-list/events');
    await page.getByText('Live: changes').waitFor();
    await rows(page).filter({ hasText: 'NEW-1' }).first().waitFor();
    for (const complaint of complaints.splice(0)) expect(complaint).toMatch(/net::ERR/);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        await addVehicles(2);
        const options = { colorScheme, viewport: { width, height: 800 } };
        const { page, findings } = await open(`/desk/due?${ALL}`, options);
        await rows(page).nth(11).waitFor();
        await rows(page).nth(1).getByRole('checkbox').click();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        await page.getByRole('button', { name: 'Put off…' }).click();
        await page.getByRole('dialog').getByRole('button', { name: 'Put off 1 line' }).click();
        await page.locator('dialog .fault').first().waitFor();
        expect(await findings()).toEqual([]);
        await page.keyboard.press('Escape');
        await page.getByRole('button', { name: 'Plan a visit…' }).click();
        await page.getByRole('dialog').getByRole('button', { name: 'Plan a visit for 1 line' }).click();
        await page.locator('dialog .fault').first().waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
        await page.keyboard.press('Escape');
        await page.getByRole('button', { name: 'Assign…' }).click();
        await page.getByRole('dialog', { name: 'Assign' }).getByText('on no visit').waitFor();
        expect(await findings()).toEqual([]);
      });

  test('speaks Spanish', async () => {
    const { page } = await open(`/desk/due?${ALL}`, { locale: 'es-MX' });
    await page.getByText('En vivo: los cambios aparecen aquí solos.').waitFor();
    await rows(page).first().getByRole('checkbox').click();
    await page.getByRole('button', { name: 'Posponer…' }).click();
    await page
      .getByRole('dialog', { name: 'Posponer 1 trabajo' })
      .getByText('Puede deshacerlo cuando quiera')
      .waitFor();
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Programar una visita…' }).click();
    await page
      .getByRole('dialog', { name: 'Programar una visita para 1 trabajo' })
      .getByText('Para deshacerlo, cancele la visita en Visitas.')
      .waitFor();
  });
});

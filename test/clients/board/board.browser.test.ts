import type { BrowserContextOptions } from 'playwright-core';
import { type BoardPage, openBoard, seriousFindings, signIn } from '../../support/board.js';
import { TestBrowser } from '../../support/browser.js';
import { textsIn } from '../../support/english.js';
import { until } from '../../support/receiver.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const ALL_STATES = '#/due?state=late,due,window,not-due,no-baseline';
const HOSTILE = '"><img src=x onerror=alert(1)>';

describe('the board', () => {
  const browser = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let opened: BoardPage[];

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(async () => {
    await browser.close();
    await service?.stop();
  });

  beforeEach(prepare);

  async function prepare(): Promise<void> {
    opened = [];
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
    await made(
      fleet.manager.post('/v1/usage-readings', {
        readings: [1, 8, 15, 22, 29].map((day, index) => ({
          vehicleId: scenario.vehicleId,
          readAt: `2026-03-${String(day).padStart(2, '0')}T07:00:00-07:00`,
          odometer: { value: 58_000 + index * 300, unit: 'mi' },
        })),
      }),
    );
  }

  afterEach(async () => {
    const complaints = opened.flatMap((board) => board.complaints);
    const telling = opened.flatMap((board) => board.transferred).filter(({ url }) => url.includes('wh_'));
    for (const board of opened) await board.close();
    if (telling.length > 0) throw new Error(`a token went into an address: ${telling[0]?.url}`);
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });

  async function made(answer: Promise<{ status: number; body: any }>): Promise<any> {
    const { status, body } = await answer;
    expect([status, status < 300 ? null : body]).toEqual([expect.any(Number), null]);
    return body;
  }

  async function board(
    options: BrowserContextOptions & { hash?: string } = {},
    token = fleet.dashboard.token,
  ): Promise<BoardPage> {
    const board = await openBoard(await browser.get(), service.url, options);
    opened.push(board);
    await signIn(board.page, token);
    return board;
  }

  const lineOf = ({ page }: BoardPage, text: string) => page.getByRole('listitem').filter({ hasText: text });
  const stateOf = (shown: BoardPage, text: string) => lineOf(shown, text).locator('.state').innerText();

  const addVehicle = (unitNumber: string, more: object = {}) =>
    made(
      fleet.manager.post('/v1/vehicles', {
        ...{ unitNumber, intervalPlanId: scenario.intervalPlanId, inServiceOn: '2021-03-15' },
        ...{ depotId: scenario.depotId, ...more },
      }),
    );

  /**
   * Two unplanned top-ups within a month, together more than 5 % of the 14 L (common practice, no
   * source).
   */
  async function raiseAlert(): Promise<void> {
    for (const day of ['01', '13'])
      await made(
        fleet.mechanic.post(`/v1/vehicles/${scenario.vehicleId}/readings`, {
          ...{ kind: 'top-up', takenAt: `2026-03-${day}T12:00:00Z`, added: { value: 0.4, unit: 'L' } },
          ...{ toMark: true, strengthPercent: 50, planned: false },
        }),
      );
  }

  const test = browser.tests(prepare);

  test('shows due lines to whoever signs in with a token, with their state and possible days in words', async () => {
    // 15,000 mi are between two looks at the belt: at about 300 mi a week it comes to that within
    // the strip.
    const driven = await addVehicle('D-2', {
      inServiceOn: '2026-01-15',
      inServiceOdometer: { value: 0, unit: 'mi' },
    });
    await made(
      fleet.manager.post('/v1/usage-readings', {
        readings: [12_000, 12_250, 12_610, 12_880, 13_200].map((value, index) => ({
          vehicleId: driven.id,
          readAt: `2026-03-${String(1 + 7 * index).padStart(2, '0')}T07:00:00-07:00`,
          odometer: { value, unit: 'mi' },
        })),
      }),
    );
    const shown = await board({ hash: ALL_STATES });
    const { page } = shown;
    await page.getByRole('heading', { name: 'Ridge' }).waitFor();
    const { body } = await fleet.dashboard.get('/v1/due-list?state=late,due,window,not-due,no-baseline');
    expect(body.items.length).toBeGreaterThan(1);
    expect(await page.locator('.line').count()).toBe(body.items.length);
    const pump = body.items.find(
      (line: any) => line.component === 'water-pump' && line.vehicle.unitNumber === 'R-114',
    );
    expect(pump).toMatchObject({ vehicle: { unitNumber: 'R-114' }, trigger: expect.any(String) });
    const row = page.locator(`[data-line="${pump.id}"]`);
    expect(await row.getByRole('link', { name: 'R-114' }).count()).toBe(1);
    const words = { late: 'overdue', due: 'due', window: 'due soon' } as Record<string, string>;
    expect(await row.locator('.state').innerText()).toBe(words[pump.state]);
    expect(await row.locator('.when').innerText()).toContain(inWords(pump.dueOn));
    // What stands in no word beside the drawing is said in its place.
    expect(await row.getByRole('img').getAttribute('aria-label')).toBe(
      `window from ${inWords(pump.windowOpensOn)}, overdue from ${inWords(pump.lateOn)}`,
    );
    const { body: summary } = await fleet.dashboard.get('/v1/due-list/summary');
    await page.getByText(`In all: ${summary.depots[0].states.late} overdue, `).waitFor();
    // A date that follows from use has a band, and a date on the calendar has none.
    const banded = body.items.filter((line: any) => line.earliestOn && line.earliestOn !== line.latestOn);
    expect(banded.length).toBeGreaterThan(0);
    let onStrip = 0;
    for (const line of banded) {
      const ofLine = page.locator(`[data-line="${line.id}"]`);
      expect(await ofLine.locator('.when').innerText()).toContain(
        `between ${inWords(line.earliestOn)} and ${inWords(line.latestOn)}`,
      );
      // The strip ends 119 days after today, on 30 July.
      const isOnStrip = line.earliestOn < '2026-07-30';
      onStrip += Number(isOnStrip);
      expect([line.earliestOn, await ofLine.locator('rect.band').count()]).toEqual([
        line.earliestOn,
        Number(isOnStrip),
      ]);
      if (isOnStrip) expect((await ofLine.locator('rect.band').boundingBox())?.width).toBeGreaterThan(0);
    }
    expect([onStrip > 0, onStrip < banded.length]).toEqual([true, true]);
    expect(await page.getByRole('status').filter({ hasText: 'Live' }).count()).toBe(1);
  });

  test('refuses an unknown token, says so, and does not store it', async () => {
    const shown = await openBoard(await browser.get(), service.url);
    const { page } = shown;
    await page.getByLabel('Token').fill(`wh_${'x'.repeat(43)}`);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByText('This token is not known').waitFor();
    expect(await page.evaluate('sessionStorage.length')).toBe(0);
    await page.getByLabel('Token').fill('wh_é');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByText('no spaces and no accented letters').waitFor();
    // The browser itself writes on its console that it was answered 401.
    expect(shown.complaints).toEqual([expect.stringContaining('401')]);
    await shown.close();
  });

  test('keeps a sign-in for this tab only, and forgets it on sign-out', async () => {
    const { page } = await board();
    await page.reload();
    await page.getByRole('heading', { name: 'Ridge' }).waitFor();
    expect(await page.evaluate('localStorage.length')).toBe(0);
    expect(await page.evaluate('document.cookie')).toBe('');
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('heading', { name: 'Sign in' }).waitFor();
    expect(await page.evaluate('sessionStorage.length')).toBe(0);
    expect(await page.locator('.line').count()).toBe(0);
  });

  test('asks for a token again, and says why, when its token is revoked', async () => {
    const issued = await made(fleet.manager.post('/v1/tokens', { name: 'wall', role: 'dashboard' }));
    const shown = await board({}, issued.token);
    const { page } = shown;
    await lineOf(shown, 'water pump: replace').waitFor();
    await made(fleet.manager.delete(`/v1/tokens/${issued.id}`));
    await page.getByRole('link', { name: 'Loss alerts' }).click();
    await page.getByRole('heading', { name: 'Sign in' }).waitFor();
    await page.getByText('This token is no longer accepted').waitFor();
    expect(await page.evaluate('sessionStorage.length')).toBe(0);
    expect(await page.getByRole('navigation', { name: 'Views' }).count()).toBe(0);
    // The browser itself writes on its console that it was answered 401.
    for (const complaint of shown.complaints.splice(0)) expect(complaint).toMatch(/401/);
  });

  test('shows a token bound to depots only the lines of those depots', async () => {
    const other = await made(fleet.manager.post('/v1/depots', { name: 'Harbour' }));
    const elsewhere = await addVehicle('H-7', { depotId: other.id });
    const bound = { name: 'harbour', role: 'mechanic', depotIds: [other.id] };
    const { token } = await made(fleet.manager.post('/v1/tokens', bound));
    const shown = await board({ hash: ALL_STATES }, token);
    const { page } = shown;
    await page.getByRole('heading', { name: 'Harbour' }).waitFor();
    expect(await page.getByText('R-114').count()).toBe(0);
    expect(await page.getByLabel('Depot').locator('option').allInnerTexts()).toEqual([
      'All depots',
      'Harbour',
    ]);
    await page.evaluate(`location.hash = '#/vehicle/${elsewhere.id}'`);
    await page.getByRole('heading', { level: 1, name: 'H-7' }).waitFor();
    await page.getByRole('link', { name: 'Job card to print' }).click();
    await page.frameLocator('iframe').getByRole('heading', { level: 1, name: 'H-7' }).waitFor();
    await page.evaluate(`location.hash = '#/vehicle/${scenario.vehicleId}'`);
    await page.getByRole('button', { name: 'Try again' }).waitFor();
    expect(await page.getByText('R-114').count()).toBe(0);
    // The browser itself writes on its console that it was answered 404.
    for (const complaint of shown.complaints.splice(0)) expect(complaint).toMatch(/404/);
  });

  test('loads the list again when a stream that was refused before begins', async () => {
    const { page, ...shown } = await openBoard(await browser.get(), service.url);
    opened.push({ page, ...shown });
    await page.route('**/v1/due-list/events', (route) => route.abort());
    await signIn(page, fleet.dashboard.token);
    const pump = page.getByRole('listitem').filter({ hasText: 'water pump: replace' });
    await pump.waitFor();
    await page.getByText('Cut off').waitFor();
    await made(
      fleet.mechanic.post('/v1/job-reports', goodJob(scenario.vehicleId, '2026-04-02T10:00:00Z', 59_300)),
    );
    await page.unroute('**/v1/due-list/events');
    await pump.waitFor({ state: 'detached' });
    for (const complaint of shown.complaints.splice(0)) expect(complaint).toMatch(/net::ERR/);
  });

  test('tells managers, above the list, why reminders may not arrive, and removes that by itself', async () => {
    const shown = await openBoard(await browser.get(), service.url);
    opened.push(shown);
    const { page } = shown;
    await page.clock.install();
    await page.reload();
    await signIn(page, fleet.manager.token);
    const part = page.getByRole('alert').filter({ hasText: 'Reminders may not arrive' });
    await part.waitFor();
    const { body } = await fleet.manager.get('/v1/due-list/summary');
    expect(body.deliveryTroubles.map(({ kind }: any) => kind)).toContain('nobody-hears');
    expect(await part.getByRole('listitem').allInnerTexts()).toEqual(
      textsIn(body.deliveryTroubles.map(({ message }: any) => message)),
    );
    // On the first screen: before the filters and the lines.
    const bottom = async (locator: typeof part): Promise<number> => {
      const box = await locator.boundingBox();
      return (box?.y ?? NaN) + (box?.height ?? NaN);
    };
    await page.locator('.line').first().waitFor();
    const { y = NaN } = (await page.locator('form.filters').boundingBox()) ?? {};
    expect(await bottom(part)).toBeLessThanOrEqual(y);
    expect(await seriousFindings(page)).toEqual([]);

    const others = await board();
    await others.page.locator('.line').first().waitFor();
    expect(await others.page.getByText('Reminders may not arrive').count()).toBe(0);

    // Nothing changes in the fleet: a worker comes by, and a target is told about due lines.
    const { admin } = service.database;
    await admin.query(
      `insert into workers (id, seen_at) values (gen_random_uuid(), now() + interval '1 hour')`,
    );
    await admin.query(
      `insert into reminder_targets (fleet_id, id, kind, address, hears, stages, digest)
       values ($1, gen_random_uuid(), 'email', 'shop@example.com', array['due-line'], array['due'], 'each')`,
      [fleet.fleetId],
    );
    await page.clock.fastForward(61_000);
    await part.waitFor({ state: 'detached' });
    await admin.query('delete from workers');
    await page.clock.fastForward(61_000);
    await page.getByText('No worker of the service is running').waitFor();
  });

  test('filters by the address, and writes the filters into the address', async () => {
    const other = await made(fleet.manager.post('/v1/depots', { name: 'Harbour' }));
    await addVehicle('H-7', { depotId: other.id });
    const shown = await board();
    const { page } = shown;
    await page.getByRole('heading', { name: 'Harbour' }).waitFor();
    await page.getByLabel('Depot').selectOption({ label: 'Harbour' });
    await page.getByRole('heading', { name: 'Ridge' }).waitFor({ state: 'detached' });
    expect(page.url()).toContain(`depot=${other.id}`);
    await page.getByLabel('Depot').selectOption('');
    await page.getByRole('heading', { name: 'Ridge' }).waitFor();
    await page.getByLabel('Component').selectOption('coolant');
    await page.locator('.line', { hasText: 'drive belt' }).first().waitFor({ state: 'detached' });
    await page.getByLabel('Part of the unit number').pressSequentially('r-1');
    await page.getByRole('heading', { name: 'Harbour' }).waitFor({ state: 'detached' });
    expect(page.url()).toMatch(/component=coolant&q=r-1$/);
    await page.getByLabel('not due').check();
    await until(() => page.url().includes('not-due'));

    // The address alone gives the same list, with the filters set.
    const hash = page.url().slice(page.url().indexOf('#'));
    const again = await board({ hash });
    await again.page.locator('.line').first().waitFor();
    expect(await again.page.getByLabel('Component').inputValue()).toBe('coolant');
    expect(await again.page.getByLabel('Part of the unit number').inputValue()).toBe('r-1');
    expect(await again.page.getByLabel('not due').isChecked()).toBe(true);
    expect(await again.page.locator('.line').allInnerTexts()).toEqual(
      await page.locator('.line').allInnerTexts(),
    );
    await page.getByLabel('Part of the unit number').fill('nobody has this');
    await page.getByText('Nothing matches').waitFor();
  });

  test('turns pages, and goes back with the browser’s back button', async () => {
    for (let number = 0; number < 30; number++) await addVehicle(`P-${number}`);
    const { body } = await fleet.dashboard.get('/v1/due-list?limit=200');
    expect(body.items.length).toBeGreaterThan(50);
    const { page } = await board();
    await page.getByRole('link', { name: 'Next page' }).click();
    await page.getByRole('link', { name: 'First page' }).waitFor();
    expect(await page.evaluate('document.activeElement.textContent')).toBe('Due list');
    await until(async () => (await page.locator('.line').count()) === Math.min(50, body.items.length - 50));
    await page.goBack();
    await page.getByRole('link', { name: 'First page' }).waitFor({ state: 'detached' });
    expect(await page.locator('.line').count()).toBe(50);
  });

  test('updates a line when a job is reported elsewhere, says so, and leaves the focus where it was', async () => {
    const shown = await board({ hash: ALL_STATES });
    const { page } = shown;
    await lineOf(shown, 'water pump: replace').waitFor();
    await page.getByText('Live: changes show').waitFor();
    const before = await stateOf(shown, 'water pump: replace');
    expect(before).not.toBe('not due');
    await lineOf(shown, 'water pump: replace').getByRole('link').focus();
    const report = goodJob(scenario.vehicleId, '2026-04-02T10:00:00Z', 59_300);
    await made(fleet.mechanic.post('/v1/job-reports', report));
    await until(async () => (await stateOf(shown, 'water pump: replace')) === 'not due');
    expect(await page.evaluate('document.activeElement.textContent')).toBe('R-114');
    await until(async () => (await page.locator('#news').innerText()).includes('changed'));
  });

  test('removes a line that no longer matches the filters, and shows one that now does', async () => {
    const shown = await board();
    await lineOf(shown, 'water pump: replace').waitFor();
    await shown.page.getByText('Live: changes show').waitFor();
    await made(
      fleet.mechanic.post('/v1/job-reports', goodJob(scenario.vehicleId, '2026-04-02T10:00:00Z', 59_300)),
    );
    await lineOf(shown, 'water pump: replace').waitFor({ state: 'detached' });
    await addVehicle('NEW-1');
    await lineOf(shown, 'NEW-1').first().waitFor();
    expect(await lineOf(shown, 'water pump: replace').count()).toBe(0);
  });

  test('says that it is offline, and then catches up by itself', async () => {
    const shown = await board();
    const { page } = shown;
    await lineOf(shown, 'water pump: replace').waitFor();
    await page.getByText('Live: changes show').waitFor();
    await page.route('**/v1/due-list/events', (route) => route.abort());
    // Its stream ends with the connection; what is in between is told by the id that it comes back
    // with.
    service.app.getHttpServer().closeAllConnections();
    await page.getByText('Cut off').waitFor();
    await made(
      fleet.mechanic.post('/v1/job-reports', goodJob(scenario.vehicleId, '2026-04-02T10:00:00Z', 59_300)),
    );
    const asked = page.waitForRequest(
      (request) => request.url().endsWith('/events') && Boolean(request.headers()['last-event-id']),
    );
    await page.unroute('**/v1/due-list/events');
    await asked;
    await lineOf(shown, 'water pump: replace').waitFor({ state: 'detached' });
    await page.getByText('Live: changes show').waitFor();
    for (const complaint of shown.complaints.splice(0)) expect(complaint).toMatch(/net::ERR/);
  });

  test('shows a vehicle with its alert, what to check next, its charts, hold tests, jobs and card', async () => {
    await raiseAlert();
    await made(
      fleet.mechanic.post('/v1/job-reports', goodJob(scenario.vehicleId, '2026-04-02T10:00:00Z', 59_300)),
    );
    const { body: alerts } = await fleet.dashboard.get('/v1/loss-alerts');
    const shown = await board({ hash: '#/alerts' });
    const { page } = shown;
    await page.getByRole('heading', { name: 'R-114: Repeated top-ups' }).waitFor();
    for (const check of textsIn(alerts.items[0].checkNext)) await page.getByText(check).waitFor();
    for (const said of textsIn(alerts.items[0].evidence.map(({ message }: any) => message)))
      await page
        .getByRole('listitem')
        .filter({ hasText: `: ${said}` })
        .first()
        .waitFor();
    await page.getByRole('link', { name: 'R-114' }).click();
    await page.getByRole('heading', { level: 1, name: 'R-114' }).waitFor();
    expect(await page.title()).toBe('R-114 · Weephole');
    for (const check of textsIn(alerts.items[0].checkNext)) await page.getByText(check).waitFor();
    const { body: trend } = await fleet.dashboard.get(`/v1/vehicles/${scenario.vehicleId}/loss-trend`);
    const lost = trend.series.find(({ name }: any) => name === 'cumulative-loss');
    expect(lost.points.length).toBeGreaterThan(0);
    const chart = page.getByRole('img', { name: 'Coolant lost, as far as known' });
    expect(await chart.getAttribute('aria-label')).toContain(`${lost.points.length} value`);
    expect(await chart.locator('circle').count()).toBe(lost.points.length);
    await page.getByText('Coolant lost, as far as known as a table').click();
    const table = page.getByRole('region', { name: 'Coolant lost, as far as known, table' });
    expect(await table.getByRole('row').count()).toBe(lost.points.length + 1);
    await page
      .getByRole('img', { name: /^Odometer\. as read: [56] values.* forecast from daily use: 2 values/ })
      .waitFor();
    const holdChart = page.getByRole('img', {
      name: /^Loss a minute in vacuum hold tests\. measured: 1 value/,
    });
    expect((await holdChart.locator('.limit').boundingBox())?.width).toBeGreaterThan(100);
    // What the spec sheet asks: 50 %.
    const strength = page.getByRole('img', { name: /^Coolant strength.*target of its spec sheet: 50 %/ });
    expect((await strength.locator('.limit').boundingBox())?.width).toBeGreaterThan(100);
    // The good job's own hold test: 22 inHg, 21.7 after 6 min.
    const holdTest = page.getByRole('region', { name: 'Hold tests' }).getByRole('row').nth(1);
    expect(await holdTest.innerText()).toMatch(/vacuum\s+22 inHg\s+21\.7 inHg\s+6\s+pass/);
    await page.getByText('water pump: replace (had failed): seal weeping').waitFor();
    expect(await seriousFindings(page)).toEqual([]);

    await page.getByRole('link', { name: 'Job card to print' }).click();
    const card = page.frameLocator('iframe');
    await card.getByRole('heading', { level: 1, name: 'R-114' }).waitFor();
    // The style is let in by its digest: without it the heading would be on no ground at all.
    const frame = await page.locator('iframe').evaluate((element: any) => ({
      inner: element.contentDocument.documentElement.scrollHeight,
      outer: element.clientHeight,
    }));
    expect(frame.outer).toBeGreaterThanOrEqual(frame.inner);
    // A print is asked for, which a sandbox can forbid without a word.
    await page.locator('iframe').evaluate((element: any) => {
      element.contentWindow.addEventListener('beforeprint', () => (element.dataset.printed = 'yes'));
    });
    await page.getByRole('button', { name: 'Print' }).click();
    await page.locator('iframe[data-printed=yes]').waitFor();
    const ground = await card
      .locator('h2')
      .first()
      .evaluate((heading) => (globalThis as any).getComputedStyle(heading).backgroundColor);
    expect(ground).toBe('rgb(0, 0, 0)');
    expect(await page.getByRole('button', { name: 'Print' }).isEnabled()).toBe(true);
    expect(await page.locator('iframe').getAttribute('sandbox')).not.toContain('allow-scripts');
  });

  test('shows on the page of a vehicle what it reported: what is wrong, then what to do', async () => {
    const { vehicleId } = scenario;
    const seen = (code: string, seenAt: string, more = {}) => ({ vehicleId, code, seenAt, ...more });
    await made(
      fleet.mechanic.post('/v1/faults', {
        faults: [
          seen('SPN 111 FMI 1', '2026-04-01T14:00:00Z'),
          seen('P0A06', '2026-03-20T12:00:00Z'),
          seen('P0420', '2026-04-01T14:00:00Z'),
          seen('P0217', '2026-02-01T12:00:00Z'),
          seen('P0217', '2026-02-02T12:00:00Z', { active: false }),
        ],
      }),
    );
    const { page } = await board({ hash: `#/vehicle/${vehicleId}` });
    const reported = page.getByRole('region', { name: 'What the vehicle reported' });
    await reported.waitFor();
    // Without the breaks between its paragraphs and lists.
    const items = (await reported.locator('[data-fault]').allTextContents()).map((text) =>
      text.replaceAll(/\s+/g, ' '),
    );
    // April: UTC-6 in Denver; February: UTC-7.
    expect(items).toEqual([
      'The coolant level is low (SPN 111 FMI 1): active since April 1, 2026 at 8:00 AM, last seen April 1, 2026 at 8:00 AMcoolant: inspect. The engine overheated. Let it cool, then do what is listed here before the vehicle goes out again. Cap: test it, or fit a new one. Belt: do a full belt check, or fit a new one. Fan and thermostat: pass a warm-up check. Strength: read the freeze point. Water poured in on the road makes it weak. The vehicle reports a low coolant level. Fill up and find the leak before it is driven; a cold level at or between the marks settles it.',
      'Power electronics circuit: Electrical fault of the coolant pump (P0A06): active since March 20, 2026 at 6:00 AM, last seen March 20, 2026 at 6:00 AMNo work is open because of it.',
      expect.stringMatching(
        /^The engine overheated \(P0217\): seen from February 1, 2026 at 5:00 AM, gone February 2, 2026 at 5:00 AMhead gasket: test\. The engine overheated\. .*under load\.coolant: inspect$/,
      ),
    ]);
    expect(await seriousFindings(page)).toEqual([]);
  });

  test('shows first which vehicles were released with a failed test, and on their page the findings and held readings', async () => {
    const quiet = await board();
    await quiet.page.getByRole('heading', { name: 'Ridge' }).waitFor();
    expect(await quiet.page.getByText('Released with open safety findings').count()).toBe(0);
    const reported = (readings: object[], more: object) =>
      made(
        fleet.mechanic.post('/v1/job-reports', {
          ...{
            vehicleId: scenario.vehicleId,
            performedAt: '2026-04-02T14:30:00Z',
            releasedForService: 'yes',
          },
          ...{ readings, ...more },
        }),
      );
    const { readings } = await reported(
      [
        { kind: 'belt-check', item: 'accessory', ribsSeated: true, wearGauge: 'worn' },
        { kind: 'level-check', belowMark: { value: 0, unit: 'L' }, engineCold: true },
      ],
      { odometer: { value: 1_169_780, unit: 'mi' } },
    );
    // It comes by itself, above the list.
    const told = quiet.page.getByRole('alert').filter({ hasText: 'Released with open safety findings' });
    await told.waitFor();
    const { body: vehicle } = await fleet.dashboard.get(`/v1/vehicles/${scenario.vehicleId}`);
    const [{ what, until: settledBy }] = vehicle.releasedWithFindings.findings;
    const [finding, settling] = textsIn([what, settledBy]);
    expect([finding, settling]).toEqual([
      expect.stringMatching(/failed belt check \(accessory\)$/),
      expect.stringMatching(/^the belt is replaced,? or passes a full check$/),
    ]);
    expect((await told.innerText()).replaceAll(/\s+/g, ' ')).toContain(
      `R-114: ${finding} (April 2, 2026 at 8:30 AM). Keep the vehicle parked until ${settling}.`,
    );
    const at = async (of: ReturnType<BoardPage['page']['locator']>) => (await of.boundingBox())?.y ?? NaN;
    expect(await at(told)).toBeLessThan(await at(quiet.page.locator('.line').first()));
    const { body: due } = await fleet.dashboard.get('/v1/due-list?component=drive-belt');
    const opened = due.items.find(({ causes }: any) => causes.length > 0);
    await quiet.page
      .locator(`[data-line="${opened.id}"]`)
      .getByText(`Why: ${textsIn(opened.causes).join(' ')}`, { exact: true })
      .waitFor();
    expect(await seriousFindings(quiet.page)).toEqual([]);

    await told.getByRole('link', { name: 'R-114' }).click();
    const { page } = quiet;
    await page.getByRole('heading', { level: 1, name: 'R-114' }).waitFor();
    await page.getByRole('alert').getByText('failed belt check (accessory)').waitFor();
    const failed = page.locator(`[data-reading="${readings[0].id}"]`);
    expect(await failed.innerText()).toBe(
      `belt check (accessory): fail. ${textsIn(readings[0].evaluation.reasons).join(' ')}`,
    );
    expect(await page.locator(`[data-reading="${readings[1].id}"]`).innerText()).toMatch(
      /^level check: pass/,
    );
    const jobs = page.getByRole('region', { name: 'Jobs', exact: true });
    expect(await jobs.innerText()).toMatch(
      /Odometer 1,169,780 mi: held for review, not counted\. .+ Released for service\./,
    );
    expect(await jobs.innerText()).toContain('Released with a failed belt check (accessory).');
    const held = page.getByRole('region', { name: 'Usage' }).locator('[data-held]');
    expect(await held.innerText()).toMatch(/^April 2, 2026 at 8:30\sAM: 1,169,780 mi\. \S/);
    // What it has run by now goes by what is believed.
    expect(await page.locator('.facts').innerText()).toMatch(/Now about\s+59,\d\d\d mi/);
    expect(await page.locator('.facts').innerText()).not.toContain('1,169,780');
    expect(await seriousFindings(page)).toEqual([]);

    await page.getByRole('link', { name: 'Job card to print' }).click();
    const card = page.frameLocator('iframe');
    await card.getByText('failed belt check (accessory): keep it parked until').waitFor();
    expect(await card.locator('header').innerText()).toMatch(/about 59,\d\d\d mi/);
    await card.getByText(/^1,169,780 mi: /).waitFor();

    // A new belt that passes its check takes it away.
    await reported(
      [
        {
          kind: 'belt-check',
          item: 'accessory',
          ribsSeated: true,
          wearGauge: 'ok',
          tensionerInRange: true,
          contaminated: false,
        },
      ],
      {
        performedAt: '2026-04-02T14:50:00Z',
        lines: [{ component: 'drive-belt', action: 'replace', item: 'accessory' }],
      },
    );
    await page.getByRole('link', { name: 'Due list' }).click();
    await page.getByRole('heading', { name: 'Ridge' }).waitFor();
    expect(await page.getByText('Released with open safety findings').count()).toBe(0);
  });

  test('shows unit numbers, depots and findings as plain text, whatever they contain', async () => {
    const depot = await made(fleet.manager.post('/v1/depots', { name: `<b>${HOSTILE}` }));
    const { id } = await addVehicle(HOSTILE, { depotId: depot.id, make: '<script>alert(2)</script>' });
    const job = goodJob(id, '2026-04-01T10:00:00Z', 100);
    const lines = [{ component: 'coolant', action: 'flush', finding: HOSTILE }];
    await made(fleet.mechanic.post('/v1/job-reports', { ...job, lines, readings: [], performedBy: HOSTILE }));
    const { page } = await board();
    await page.getByRole('heading', { name: `<b>${HOSTILE}` }).waitFor();
    await page.getByRole('link', { name: HOSTILE }).first().click();
    await page.getByRole('heading', { level: 1, name: HOSTILE }).waitFor();
    await page.getByText(`coolant: flush: ${HOSTILE}`).waitFor();
    expect(await page.evaluate(`document.querySelectorAll('main img, main script, main b').length`)).toBe(0);
    await page.getByRole('link', { name: 'Job card to print' }).click();
    await page.frameLocator('iframe').getByRole('heading', { level: 1, name: HOSTILE }).waitFor();
  });

  test('works with the keyboard alone', async () => {
    await raiseAlert();
    const shown = await openBoard(await browser.get(), service.url);
    opened.push(shown);
    const { page } = shown;
    await page.getByLabel('Token').waitFor();
    await page.keyboard.type(fleet.dashboard.token);
    await page.keyboard.press('Enter');
    await lineOf(shown, 'water pump: replace').waitFor();
    const focused = (): Promise<string> =>
      page.evaluate(
        `document.activeElement.labels?.[0]?.textContent ?? document.activeElement.textContent.trim()`,
      );
    expect(await focused()).toBe('Due list');
    const tabTo = async (name: string, key = 'Tab'): Promise<void> => {
      for (let presses = 0; presses < 60; presses++) {
        await page.keyboard.press(key);
        if ((await focused()).startsWith(name)) return;
      }
      throw new Error(`${name} is not to be reached by ${key}`);
    };
    await tabTo('Part of the unit number');
    await page.keyboard.type('R-114');
    await until(() => page.url().includes('q=R-114'));
    await tabTo('not due');
    await page.keyboard.press('Space');
    await until(() => page.url().includes('not-due'));
    expect(await focused()).toBe('not due');
    await lineOf(shown, 'not due').first().waitFor();
    await tabTo('R-114');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: 'R-114' }).waitFor();
    expect(await focused()).toBe('R-114');
    await tabTo('Loss alerts', 'Shift+Tab');
    // What has the focus is seen to have it.
    expect(await page.evaluate(`getComputedStyle(document.activeElement).outlineStyle`)).toBe('solid');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'R-114: Repeated top-ups' }).waitFor();
    expect(await focused()).toBe('Loss alerts');
    await tabTo('Skip to the content', 'Shift+Tab');
    await page.keyboard.press('Enter');
    expect(await page.evaluate('document.activeElement.id')).toBe('main');
    expect(page.url()).toMatch(/#\/alerts$/);
  });

  for (const { name, colorScheme, viewport } of [
    { name: 'light', colorScheme: 'light', viewport: { width: 1280, height: 900 } },
    { name: 'dark', colorScheme: 'dark', viewport: { width: 1280, height: 900 } },
    { name: 'light on a phone', colorScheme: 'light', viewport: { width: 360, height: 740 } },
    { name: 'dark on a phone', colorScheme: 'dark', viewport: { width: 360, height: 740 } },
  ] as const)
    test(`passes an accessibility check and fits its screen: ${name}`, async () => {
      await raiseAlert();
      await made(
        fleet.mechanic.post('/v1/job-reports', goodJob(scenario.vehicleId, '2026-03-20T10:00:00Z', 58_700)),
      );
      await addVehicle('W'.repeat(40));
      const options = { colorScheme, viewport, reducedMotion: 'reduce' } as const;
      const signedOut = await openBoard(await browser.get(), service.url, options);
      opened.push(signedOut);
      await signedOut.page.getByLabel('Token').waitFor();
      expect(await seriousFindings(signedOut.page)).toEqual([]);
      const { page } = await board({ ...options, hash: ALL_STATES });
      const paper = await page.evaluate('getComputedStyle(document.documentElement).backgroundColor');
      expect(paper).toBe(colorScheme === 'dark' ? 'rgb(27, 26, 30)' : 'rgb(246, 242, 230)');
      for (const [hash, heading] of [
        ['', 'Due list'],
        ['#/alerts', 'Loss alerts'],
        [`#/vehicle/${scenario.vehicleId}`, 'R-114'],
        [`#/vehicle/${scenario.vehicleId}/job-card`, 'Job card'],
      ] as const) {
        if (hash !== '') await page.evaluate(`location.hash = ${JSON.stringify(hash)}`);
        await page.getByRole('heading', { level: 1, name: heading }).waitFor();
        await page.locator('[aria-busy=false]').waitFor();
        for (const summary of await page.locator('summary').all()) await summary.click();
        expect([hash, await seriousFindings(page)]).toEqual([hash, []]);
        expect([hash, await page.evaluate('document.documentElement.scrollWidth')]).toEqual([
          hash,
          viewport.width,
        ]);
      }
    });

  test('distinguishes states by shape, not only by colour', async () => {
    const shown = await board({ hash: ALL_STATES });
    await lineOf(shown, 'water pump: replace').waitFor();
    await shown.page.getByText('How to read the strips').click();
    const shapes = await shown.page.evaluate<string[]>(
      `[...document.querySelectorAll('.legend .mark')].map((mark) => mark.innerHTML)`,
    );
    expect(new Set(shapes).size).toBe(5);
  });

  test('sends at most 200 kB for the first view, and only the page to a returning browser', async () => {
    for (let number = 0; number < 30; number++) await addVehicle(`P-${number}`);
    const shown = await board();
    const { page, transferred } = shown;
    await until(async () => (await page.locator('.line').count()) === 50);
    await page.getByText('Live: changes show').waitFor();
    const total = () => transferred.reduce((sum, { bytes }) => sum + bytes, 0);
    const has = (path: string) => transferred.some(({ url }) => url.startsWith(service.url + path));
    await until(() => has('/v1/due-list?') && has('/v1/due-list/summary'));
    expect(total()).toBeGreaterThan(40_000);
    expect(total()).toBeLessThanOrEqual(200_000);
    for (const { url } of transferred) expect(url.startsWith(`${service.url}/`)).toBe(true);

    const page2 = await service.client(null).get('/board');
    expect(page2.headers.get('cache-control')).toBe('no-cache');
    const known = { 'if-none-match': String(page2.headers.get('etag')) };
    expect((await service.client(null).get('/board', known)).status).toBe(304);
    const script = /src="([^"]+)"/.exec(page2.body)?.[1] ?? '';
    const slash = await fetch(`${service.url}/board/`, { redirect: 'manual' });
    expect([slash.status, slash.headers.get('location')]).toEqual([308, '/board']);
    const policy = String(page2.headers.get('content-security-policy'));
    expect(policy).toMatch(/^default-src 'none'; script-src 'self'; /);
    expect(policy).not.toMatch(/unsafe|\*|https?:/);
    expect(policy).toContain("frame-ancestors 'none'");
    expect(page2.headers.get('referrer-policy')).toBe('no-referrer');
    const { headers } = await service.client(null).get(script);
    expect(headers.get('cache-control')).toBe('public, max-age=31536000, immutable');
    expect(headers.get('x-content-type-options')).toBe('nosniff');
  });
});

const inWords = (date: string): string => {
  const day = new Date(`${date}T00:00:00Z`);
  const months = [
    ...['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September'],
    ...['October', 'November', 'December'],
  ];
  return `${months[day.getUTCMonth()]} ${day.getUTCDate()}, ${day.getUTCFullYear()}`;
};

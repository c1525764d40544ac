import { type BoardPage, openBoard, seriousFindings, signIn } from '../../support/board.js';
import { TestBrowser } from '../../support/browser.js';
import { HYBRID_SHEET } from '../../support/hybrid.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('the board about a vehicle with several circuits', () => {
  const browser = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;
  let opened: BoardPage[];

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  afterAll(async () => {
    await browser.close();
    await service?.stop();
  });
  beforeEach(prepare);

  async function prepare(): Promise<void> {
    opened = [];
    fleet = await service.newFleet();
    const specSheetId = (await fleet.manager.post('/v1/spec-sheets', HYBRID_SHEET)).body.id;
    vehicleId = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'H-7', specSheetId })).body.id;
    for (const [circuit, day] of [
      ['engine', '10'],
      ['battery', '11'],
      ['battery', '20'],
    ]) {
      const { status } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
        ...{ kind: 'top-up', circuit, takenAt: `2026-03-${day}T12:00:00Z` },
        ...{ added: { value: 0.3, unit: 'L' }, toMark: true, strengthPercent: 50, planned: false },
      });
      expect(status).toBe(201);
    }
  }

  afterEach(async () => {
    const complaints = opened.flatMap((board) => board.complaints);
    for (const board of opened) await board.close();
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });

  const test = browser.tests(prepare);

  const drawn = 'draws the loss of each, with its name';
  test(drawn, () =>
    drawsBoth('en', 'en-US', 'Coolant loss and strength', ['engine circuit', 'battery circuit']),
  );
  test(`${drawn}, in Spanish`, () =>
    drawsBoth('es', 'es-MX', 'Pérdida y concentración del anticongelante', [
      'circuito del motor',
      'circuito de la batería',
    ]));

  async function drawsBoth(
    language: 'en' | 'es',
    locale: string,
    title: string,
    names: [string, string],
  ): Promise<void> {
    const { body: trend } = await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/loss-trend?circuit=battery`);
    const lost = trend.series.find(({ name }: any) => name === 'cumulative-loss').points.length;
    expect(lost).toBe(2);
    const shown = await openBoard(await browser.get(), service.url, {
      ...{ locale, hash: `#/vehicle/${vehicleId}` },
    });
    opened.push(shown);
    await signIn(shown.page, fleet.dashboard.token, language);
    const section = shown.page.getByRole('region', { name: title, exact: true });
    const headings = section.getByRole('heading', { level: 3 });
    await headings.nth(1).waitFor();
    expect(await headings.allInnerTexts()).toEqual(names);
    const charts = section.getByRole('img', { name: names[1] });
    expect(await charts.first().locator('circle').count()).toBe(lost);
    expect(await section.getByRole('img', { name: names[0] }).first().locator('circle').count()).toBe(1);
    expect(await seriousFindings(shown.page)).toEqual([]);
  }
});

import type { Page } from 'playwright-core';
import { CAUTIONS } from '../../../src/domain/cautions/cautions.js';
import { shownMessages } from '../../../src/platform/words/shown-messages.js';
import { checkNextFor } from '../../../src/domain/loss/alerts/advice.js';
import type { JobCardView } from '../../../src/pages/job-cards/card/job-card.dto.js';
import { jobCardPage } from '../../../src/pages/job-cards/page/job-card-page.js';
import { TestBrowser } from '../../support/browser.js';
import { type Drawing, drawCard } from '../../support/drawn-card.js';
import { FULL_FAULTS, FULL_LINES, FULL_NOW, postFullVehicle } from '../../support/full-card.js';
import { findingsOn } from '../../support/pages.js';
import { readPrintedPdf, squeezed } from '../../support/printed-pdf.js';
import { HYBRID_SHEET } from '../../support/hybrid.js';
import { textsIn } from '../../support/english.js';
import { type Language, LANGUAGES } from '../../../src/platform/words/languages.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

/**
 * ISO 216 and ANSI/ASME Y14.1, in mm; the page's margins are taken off for what a print may fill.
 */
const PAPER = { A4: { width: 210, height: 297 }, Letter: { width: 215.9, height: 279.4 } } as const;
const MARGIN = { top: 8, side: 9 };
const pixels = (mm: number): number => Math.floor((mm / 25.4) * 96);

/** Elements that hold more than they show, with what they say; measured as printed on the paper. */
async function cutOff(page: Page, paper: keyof typeof PAPER): Promise<string[]> {
  const { width, height } = PAPER[paper];
  const inside = { width: pixels(width - 2 * MARGIN.side), height: pixels(height - 2 * MARGIN.top) };
  await page.setViewportSize(inside);
  await page.emulateMedia({ media: 'print' });
  return page.evaluate(`(() => {
    const root = document.documentElement;
    const found = [];
    if (root.scrollWidth > root.clientWidth) found.push('the page is ' + root.scrollWidth + ' px wide, of ' + root.clientWidth);
    const height = document.body.getBoundingClientRect().height;
    if (height > ${inside.height}) found.push('the page is ' + height + ' px high, of ${inside.height}');
    for (const element of document.querySelectorAll('body *:not(input, i)')) {
      const { display } = getComputedStyle(element);
      if (display !== 'inline' && element.scrollWidth > element.clientWidth + 1)
        found.push(element.tagName + ' ' + element.scrollWidth + ' of ' + element.clientWidth + ': ' + element.textContent.slice(0, 60));
    }
    return found;
  })()`);
}

async function expectOnePage(page: Page, card: JobCardView): Promise<string> {
  let text = '';
  for (const paper of ['A4', 'Letter'] as const) {
    const printed = readPrintedPdf(await page.pdf({ format: paper }));
    expect([paper, printed.pages.length]).toEqual([paper, 1]);
    const [{ widthPt, heightPt } = { widthPt: 0, heightPt: 0 }] = printed.pages;
    expect(Math.abs((widthPt * 25.4) / 72 - PAPER[paper].width)).toBeLessThan(0.5);
    expect(Math.abs((heightPt * 25.4) / 72 - PAPER[paper].height)).toBeLessThan(0.5);
    for (const { text } of card.cautions) expect(printed.text).toContain(squeezed(text));
    expect(await cutOff(page, paper)).toEqual([]);
    text = printed.text;
  }
  return text;
}

/** A message as a card has it, of which the page needs the text alone. */
const said = (text: string) => ({ code: 'legacy', values: {}, text });

/** The cautions of everything that a job on an engine's own circuit can meet. */
const ON_AN_ENGINE = CAUTIONS['whole-job']
  .map(({ code }) => code)
  .filter((code) => code !== 'caution-high-voltage');

describe('a job card on paper', () => {
  const browser = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: String(FULL_NOW) });
    await prepare();
  });
  afterAll(async () => {
    await browser.close();
    await service?.stop();
  });

  async function prepare(): Promise<void> {
    fleet = await service.newFleet({ units: 'us' });
  }

  const test = browser.tests(prepare);

  async function shown(card: JobCardView, language: Language = 'en'): Promise<Page> {
    const page = await (await browser.get()).newPage();
    await page.setContent(jobCardPage(card, language, 'America/Denver'));
    return page;
  }

  test('is within reach of everybody, as axe finds on a screen of a phone and of a desk', async () => {
    const own = await service.newFleet({ units: 'us' });
    const { vehicleId } = await postFullVehicle(own);
    const path = `/v1/vehicles/${vehicleId}/job-card?lines=${encodeURIComponent(FULL_LINES)}`;
    const { body: card } = await own.mechanic.get<JobCardView>(path);
    for (const language of LANGUAGES) {
      const page = await shown(card, language);
      for (const width of [360, 1280]) {
        await page.setViewportSize({ width, height: 800 });
        expect(await findingsOn(page)).toEqual([]);
      }
      await page.close();
    }
  });

  test('fits on one page where the work is in two circuits, with the caution at every step beside high voltage', async () => {
    const { manager } = fleet;
    const specSheetId = (await manager.post('/v1/spec-sheets', HYBRID_SHEET)).body.id;
    const vehicle = { unitNumber: 'H-7', specSheetId, inServiceOn: '2019-03-15' };
    const { id } = (await manager.post('/v1/vehicles', vehicle)).body;
    const lines =
      'coolant:replace,water-pump:replace,drive-belt:replace,coolant:flush@battery,chiller:replace@battery';
    const card = (await manager.get(`/v1/vehicles/${id}/job-card?lines=${lines}`)).body as JobCardView;
    const inBattery = card.steps.filter(({ circuit }) => circuit === 'battery');
    expect(inBattery.every(({ caution }) => caution !== undefined)).toBe(true);
    const page = await shown(card);
    const text = await expectOnePage(page, card);
    for (const { message, caution } of inBattery)
      expect(text).toContain(squeezed(`battery circuit: ${message.text} — ${caution?.text}`));
    await page.close();
  });

  test('says first that the vehicle was released with a failed test, and shows verdicts and held counters', async () => {
    const takenAt = '2026-03-27T15:00:00Z';
    const card = drawCard({
      lines: 'coolant:test',
      releasedWithFindings: {
        ...{ message: said(''), since: takenAt },
        findings: [
          {
            ...{ readingId: 'r', jobReportId: 'j', kind: 'hold-test', takenAt, dueLineIds: ['l'] },
            ...{ what: said('failed pressure test'), until: said('it passes a pressure test'), reasons: [] },
          },
        ],
      },
      lastReadings: [
        {
          ...{ id: 'r', kind: 'hold-test', which: 'pressure', takenAt, verdict: 'fail', isOpen: true },
          reasons: [said('It lost 3.5 psi in 5 min.')],
        },
        {
          ...{ id: 'b', kind: 'belt-check', which: 'accessory', takenAt, verdict: 'pass', isOpen: false },
          reasons: [said('The wear gauge does not enter the grooves.')],
        },
      ],
      heldReadings: [
        {
          ...{
            id: 'u',
            readAt: takenAt,
            engineHours: null,
            detail: said('It goes 1,100,000 mi up in a day.'),
          },
          odometer: { value: 1_169_780, unit: 'mi' },
        },
      ],
    });
    const page = await shown(card);
    expect(await page.locator('section h2').first().innerText()).toBe('Released with open safety findings');
    const text = await expectOnePage(page, card);
    for (const said of [
      'failed pressure test: keep it parked until it passes a pressure test',
      'pressure test: It lost 3.5 psi in 5 min.',
      'fail, open, March 27, 2026',
      'passed: belt check (accessory) March 27, 2026',
      'Usage readings held for review: not counted',
      '1,169,780 mi: It goes 1,100,000 mi up in a day.',
    ])
      expect(text).toContain(squeezed(said));
    expect(text).not.toContain(squeezed('The wear gauge'));
    await page.close();
  });

  test('fits one page of A4 and of Letter, with everything on a full card and nothing cut off', async () => {
    const { vehicleId } = await postFullVehicle(fleet);
    const path = `/v1/vehicles/${vehicleId}/job-card?lines=${encodeURIComponent(FULL_LINES)}`;
    const { body: card } = await fleet.mechanic.get<JobCardView>(path);
    const context = await (
      await browser.get()
    ).newContext({
      extraHTTPHeaders: { authorization: `Bearer ${fleet.mechanic.token}` },
    });
    const page = await context.newPage();
    const complaints: string[] = [];
    const asked: string[] = [];
    page.on('console', (message) => complaints.push(message.text()));
    page.on('pageerror', (error) => complaints.push(String(error)));
    page.on('request', (request) => asked.push(request.url()));
    // A browser asks for text/html first, by itself.
    const response = await page.goto(service.url + path);
    expect(response?.status()).toBe(200);
    expect(response?.headers()['content-type']).toBe('text/html; charset=utf-8');

    const text = await expectOnePage(page, card);
    expect(card.cautions.map(({ code }) => code)).toEqual(ON_AN_ENGINE);
    expect(text).not.toContain(squeezed('not printed here'));
    for (const { name, count } of card.fasteners) expect(text).toContain(squeezed(`${count} × ${name}`));
    for (const { description, partNumber } of card.parts) {
      expect(text).toContain(squeezed(description));
      expect(text).toContain(squeezed(String(partNumber)));
    }
    for (const { message } of card.steps) expect(text).toContain(squeezed(message.text));
    expect(card.dueAnyway.length).toBeGreaterThanOrEqual(8);
    for (const { vehicle, component, action } of card.dueAnyway) {
      const unit = vehicle.id === vehicleId ? '' : `${vehicle.unitNumber}:`;
      expect(text).toContain(squeezed(`${unit}${component.replaceAll('-', ' ')}: ${action}`));
    }
    for (const { checkNext } of card.lossAlerts)
      for (const check of textsIn(checkNext)) expect(text).toContain(squeezed(check));
    // 23 inHg at sea level is 19.19 inHg at 1500 m: the trade's rule, by the U.S. Standard
    // Atmosphere 1976 (84.556 of 101.325 kPa). Half-inch marks show 19.
    expect(text).toContain('19inHg');
    expect(asked).toEqual([service.url + path]);
    expect(complaints).toEqual([]);
    // The style is let in by its digest: without it the page would be transparent and serif.
    expect(await page.evaluate(`getComputedStyle(document.querySelector('h2')).backgroundColor`)).toBe(
      'rgb(0, 0, 0)',
    );
    await context.close();
  });

  test('has the faults that the vehicle reported on the same one page, and all steps and cautions', async () => {
    const own = await service.newFleet({ units: 'us' });
    const { vehicleId } = await postFullVehicle(own);
    const faults = FULL_FAULTS.map((fault) => ({ vehicleId, ...fault }));
    expect((await own.mechanic.post('/v1/faults', { faults })).status).toBe(201);
    const path = `/v1/vehicles/${vehicleId}/job-card?lines=${encodeURIComponent(FULL_LINES)}`;
    for (const language of LANGUAGES) {
      const { body: card } = await own.mechanic.get<JobCardView>(path, { 'accept-language': language });
      const page = await shown(card, language);
      const text = await expectOnePage(page, card);
      expect(card.faults.map(({ state }) => state)).toEqual(['active', 'gone']);
      for (const { code, meaning } of card.faults)
        expect(text).toContain(squeezed(`${code}: ${meaning?.text}`));
      for (const { message } of card.steps) expect(text).toContain(squeezed(message.text));
      await page.close();
    }
  });

  test('comes out of the service in Spanish for who reads that, whole, on the same one page', async () => {
    const own = await service.newFleet({ units: 'us' });
    const { vehicleId } = await postFullVehicle(own);
    const path = `/v1/vehicles/${vehicleId}/job-card?lines=${encodeURIComponent(FULL_LINES)}`;
    const { body: card } = await own.mechanic.get<JobCardView>(path, { 'accept-language': 'es-MX' });
    const context = await (
      await browser.get()
    ).newContext({
      locale: 'es-MX',
      extraHTTPHeaders: { authorization: `Bearer ${own.mechanic.token}` },
    });
    const page = await context.newPage();
    const response = await page.goto(service.url + path);
    expect(response?.headers()['content-language']).toBe('es');
    expect(await page.evaluate('document.documentElement.lang')).toBe('es');
    const text = await expectOnePage(page, card);
    expect(card.cautions.map(({ code }) => code)).toEqual(ON_AN_ENGINE);
    for (const { message } of card.steps) expect(text).toContain(squeezed(message.text));
    for (const said of [
      'Hoja de trabajo, 2 de abril de 2026',
      'Precauciones',
      'Nunca abra un sistema caliente.',
      'bomba de agua: cambio',
      'banda impulsora (accessory): cambio',
      '19 inHg',
      'Hecho por',
    ])
      expect(text).toContain(squeezed(said));
    const labels = await page.evaluate<string>(
      `[...document.querySelectorAll('h2, .blank, .sign')].map((element) => element.textContent).join(' ')`,
    );
    expect(labels).not.toMatch(
      /\b(Steps|Parts|Coolant|Hold|Belts|Due|Cautions|came out|Done by|Date|Notes)\b/,
    );
    await context.close();
  });

  test('lets a browser run no script and load nothing, whatever a name contains', async () => {
    const hostile = await service.newFleet();
    const unitNumber = '"><img src=x onerror=alert(1)>';
    const made = await hostile.manager.post('/v1/vehicles', {
      unitNumber,
      make: '<script>alert(2)</script>',
    });
    expect(made.status).toBe(201);
    const context = await (
      await browser.get()
    ).newContext({
      extraHTTPHeaders: { authorization: `Bearer ${hostile.dashboard.token}` },
    });
    const page = await context.newPage();
    let alerts = 0;
    page.on('dialog', (dialog) => {
      alerts++;
      void dialog.dismiss();
    });
    await page.goto(`${service.url}/v1/vehicles/${made.body.id}/job-card?lines=coolant:flush`);
    expect(await page.evaluate(`document.querySelectorAll('img, script').length`)).toBe(0);
    expect(await page.evaluate(`document.querySelector('h1').textContent`)).toBe(unitNumber);
    expect(alerts).toBe(0);
    await context.close();
  });

  const fastener = (
    index: number,
    words: string,
  ): NonNullable<NonNullable<Drawing['sheet']>['fasteners']>[0] => ({
    name: `${words} ${index}`,
    count: 1 + (index % 12),
    torqueNm: 5 + index * 3,
    tolerancePercent: index % 3 === 0 ? 10 : null,
    angle: index % 5 === 0 ? '90° in two turns of 45°, then slacken and tighten anew' : null,
  });
  const part = (index: number, words: string) => ({
    component: 'water-pump',
    description: `${words} ${index}`,
    quantity: index,
    partNumber: `PN-${index * 1117}`,
  });
  const due = (index: number, unitNumber = 'R-114') => ({
    unitNumber,
    component: ['heater-hose', 'drive-belt', 'temperature-sensor'][index % 3] ?? '',
    action: 'inspect',
    item: index % 3 === 1 ? `belt ${index}` : null,
  });
  const alerts = (
    ['repeat-top-ups', 'unrecorded-water', 'early-return', 'weakening-hold', 'part-cohort'] as const
  ).map((kind, index) => ({
    id: String(index),
    kind,
    status: 'raised' as const,
    raisedAt: '2026-03-13T12:00:00Z',
    returned: index === 1,
    checkNext: shownMessages(checkNextFor(kind)),
  }));
  const list = <T>(length: number, of: (index: number) => T): T[] =>
    Array.from({ length }, (_, index) => of(index));
  const ALL_WORK = FULL_LINES;

  const drawings: Record<string, Drawing> = {
    'a belt to look at': { lines: 'drive-belt:inspect' },
    'a pump and the coolant': { lines: 'water-pump:replace,coolant:replace', units: 'si' },
    'no spec sheet and no elevation': { lines: 'water-pump:replace', sheet: null, elevationM: null },
    'as many lines as a card takes': {
      lines: [
        'water-pump,thermostat,radiator,radiator-cap,upper-hose,lower-hose,heater-hose,bypass-hose,hose-clamp,fan-drive,fan-shroud,reservoir',
        'heater-core,coolant-filter,oil-cooler,egr-cooler,timing-belt,temperature-sensor,other,tensioner,idler,drive-belt,coolant',
      ]
        .join(',')
        .split(',')
        .map((component) => `${component}:replace`)
        .join(','),
    },
    'forty fasteners, thirty parts and sixty due lines': {
      lines: ALL_WORK,
      losesCoolant: true,
      sheet: {
        fasteners: list(40, (index) => fastener(index, 'bracket of the auxiliary heater, lower')),
        parts: list(30, (index) => part(index, 'moulded hose with two clamps and a bracket')),
        belts: list(12, (index) => ({ name: `belt ${index}`, designation: '6PK1880' })),
      },
      dueAnyway: [...list(30, (index) => due(index)), ...list(30, (index) => due(index, 'R-114-AUX'))],
      lossAlerts: alerts,
    },
    'the longest words that fields take, without a blank': {
      lines: ALL_WORK,
      losesCoolant: true,
      sheetName: 'W'.repeat(120),
      vehicle: {
        unitNumber: 'W'.repeat(40),
        make: 'M'.repeat(80),
        model: 'm'.repeat(80),
        carries: list(6, (index) => ({ id: String(index), unitNumber: `${'X'.repeat(38)}${index}` })),
      },
      sheet: {
        fasteners: list(10, (index) => ({ ...fastener(index, 'W'.repeat(78)), angle: 'm'.repeat(120) })),
        parts: list(10, (index) => part(index, 'W'.repeat(197))),
        belts: list(4, (index) => ({ name: `${'B'.repeat(78)}${index}`, designation: 'D'.repeat(40) })),
      },
      dueAnyway: list(10, (index) => due(index, 'U'.repeat(40))),
      lossAlerts: alerts,
    },
    'a script as wide as it is high': {
      lines: ALL_WORK,
      units: 'si',
      sheetName: '冷却水循環系統整備仕様書'.repeat(6),
      vehicle: { make: '車両製造会社', model: '大型貨物自動車'.repeat(4) },
      sheet: {
        fasteners: list(12, (index) => fastener(index, '冷却水ポンプ取付ボルト')),
        parts: list(8, (index) => part(index, '冷却水ポンプ、ガスケット付き')),
      },
      lossAlerts: alerts.slice(0, 2),
    },
    'as many lines as a card takes, each with the longest of items': {
      lines: list(
        24,
        (index) =>
          `${['tensioner', 'idler', 'heater-hose'][index % 3]}:replace:${String(index).padEnd(80, ' Wm')}`,
      ).join(','),
      sheet: { fasteners: list(20, (index) => fastener(index, 'bolt')) },
      dueAnyway: list(20, (index) => due(index)),
      lossAlerts: alerts,
    },
    'as many faults as a card takes': {
      lines: ALL_WORK,
      sheet: {
        fasteners: list(10, (index) => fastener(index, 'bolt')),
        parts: list(10, (index) => part(index, 'seal')),
      },
      dueAnyway: list(10, (index) => due(index)),
      lossAlerts: alerts,
      faults: list(12, (index) => ({
        ...{ id: String(index), code: `SPN ${520_000 + index} FMI 31`, circuit: 'battery', occurrences: 126 },
        meaning: said('Power electronics circuit: The coolant temperature sensor or its wiring is faulty'),
        ...{ state: index < 6 ? 'active' : 'gone', firstSeenAt: '2026-03-01T12:00:00Z' },
        ...{ lastSeenAt: '2026-03-29T12:00:00Z', goneAt: index < 6 ? null : '2026-03-30T12:00:00Z' },
      })),
    },
    'many short rows': {
      lines: 'water-pump:replace,coolant:flush',
      sheet: {
        fasteners: list(24, (index) => fastener(index, 'bolt')),
        parts: list(14, (index) => part(index, 'seal')),
      },
      dueAnyway: list(14, (index) => due(index)),
    },
  };

  // Spanish takes about a fifth more room.
  const inBothLanguages = Object.keys(drawings).flatMap((name) =>
    LANGUAGES.map((language) => [name, language] as const),
  );

  it.each(inBothLanguages)('is one page with nothing cut: %s (%s)', async (name, language) => {
    const card = drawCard({ ...drawings[name], language } as Drawing);
    const page = await shown(card, language);
    await expectOnePage(page, card);
    await page.close();
  });

  test('grows with every row until it is full, and is one page at every length', async () => {
    const page = await (await browser.get()).newPage();
    let last = Infinity;
    for (let rows = 0; rows <= 48; rows += 3) {
      const card = drawCard({
        lines: 'water-pump:replace,coolant:replace,drive-belt:replace',
        sheet: {
          fasteners: list(Math.ceil(rows / 3), (index) => fastener(index, 'bracket, lower row')),
          parts: list(Math.floor(rows / 3), (index) => part(index, 'pump with gasket')),
        },
        dueAnyway: list(Math.floor(rows / 3), (index) => due(index)),
      });
      await page.setContent(jobCardPage(card, 'en', 'America/Denver'));
      const printed = readPrintedPdf(await page.pdf({ format: 'Letter' }));
      expect([rows, printed.pages.length]).toEqual([rows, 1]);
      const size = parseFloat(await page.evaluate<string>(`getComputedStyle(document.body).fontSize`));
      expect(size).toBeLessThanOrEqual(last);
      last = size;
    }
    await page.close();
  });

  test('counts what it had to leave out, but never leaves out a step or a caution', async () => {
    const card = drawCard(drawings['forty fasteners, thirty parts and sixty due lines'] as Drawing);
    const page = await shown(card);
    const { text } = readPrintedPdf(await page.pdf({ format: 'A4' }));
    for (const step of card.steps) expect(text).toContain(squeezed(step.message.text));
    for (const [title, total] of [
      ['Torques', 40],
      ['Parts to bring', 30],
      ['Due anyway', 60],
    ] as const) {
      const rows = await page.evaluate<string[]>(
        `[...document.querySelectorAll('section')].filter((section) => section.querySelector('h2').textContent.startsWith('${title}')).flatMap((section) => [...section.querySelectorAll('li')].map((row) => row.textContent))`,
      );
      const leftOut = Number(/(\d+) more, not printed here/.exec(rows.at(-1) ?? '')?.[1] ?? 0);
      expect([title, rows.length - (leftOut > 0 ? 1 : 0) + leftOut]).toEqual([title, total]);
      expect([title, leftOut]).not.toEqual([title, 0]);
    }
    await page.close();
  });
});

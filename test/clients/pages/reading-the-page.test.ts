import { comebackMs, eventReader } from '../../../clients/pages/src/kit/service/server-events.js';
import {
  axisAround,
  dateOfDay,
  placeOf,
  placeOnStrip,
  rulesOf,
} from '../../../clients/pages/src/kit/due/time-axis.js';
import { aheadOf, rowsOf } from '../../../clients/pages/src/desk/vehicles/charts/points.js';
import { numberIn } from '../../../clients/pages/src/desk/vehicles/words/number.js';
import { ACTIONS, COMPONENTS } from '../../../src/domain/intervals/types.js';
import { LOSS_ALERT_KINDS } from '../../../src/domain/loss/facts/types.js';
import { READING_KINDS } from '../../../src/domain/readings/kinds.js';
import { CIRCUITS } from '../../../src/domain/vehicles/circuits.js';
import { appFiles } from '../../../src/pages/apps/app-files.js';
import { type Language, LANGUAGE_FILES } from '../../../src/platform/words/languages.js';

const COMMENT = { event: 'message', id: null, data: null, retryMs: null };

describe('a stream of events', () => {
  const text =
    'retry: 2500\n: hello\nid: a-1\n\nevent: due-line\nid: a-2\ndata: {"x":\ndata: 1}\n\n: comment\n\n';
  const expected = [
    { event: 'message', id: 'a-1', data: null, retryMs: 2500 },
    { event: 'due-line', id: 'a-2', data: '{"x":\n1}', retryMs: null },
  ];
  it('is read the same, however it was cut into pieces', () => {
    for (const sent of [text, text.replaceAll('\n', '\r\n')])
      for (let size = 1; size <= sent.length; size++) {
        const read = eventReader();
        const events = [];
        for (let from = 0; from < sent.length; from += size)
          events.push(...read(sent.slice(from, from + size)));
        expect([size, events]).toEqual([size, [...expected, COMMENT]]);
      }
  });

  it('reconnects after waits that double up to half a minute, and never at once', () => {
    expect([1, 2, 3, 9].map((failures) => comebackMs(2000, failures, 1))).toEqual([2000, 4000, 8000, 30_000]);
    expect([1, 2, 3, 9].map((failures) => comebackMs(2000, failures, 0))).toEqual([1000, 2000, 4000, 15_000]);
  });
});

describe('the strip', () => {
  const axis = axisAround('2026-04-02');
  it('marks today at its place, and begins its weeks on Mondays', () => {
    // Five weeks of twenty-two lie before today.
    expect(placeOf(axis, axis.today)).toBeCloseTo((35 / 154) * 100, 10);
    const { mondays, firsts } = rulesOf(axis);
    // 2 March and 6 April 2026 are Mondays by the Gregorian calendar.
    expect(mondays.map(dateOfDay)).toEqual(expect.arrayContaining(['2026-03-02', '2026-04-06']));
    expect(mondays).toHaveLength(22);
    expect(firsts.map(dateOfDay)).toEqual([
      '2026-03-01',
      '2026-04-01',
      '2026-05-01',
      '2026-06-01',
      '2026-07-01',
    ]);
  });

  it('says on which side a day outside it lies', () => {
    expect(placeOnStrip(axis, axis.first - 1)).toEqual({ percent: 1.5, beyond: 'before' });
    expect(placeOnStrip(axis, axis.last + 1)).toEqual({ percent: 98.5, beyond: 'after' });
    expect(placeOnStrip(axis, axis.last)).toEqual({ percent: 98.5, beyond: null });
  });
});

describe('a chart', () => {
  const at = (day: number): string => `2026-03-0${day}T00:00:00Z`;
  it('continues from the last reading by the usage of a day', () => {
    const last = { at: at(1), value: 100 };
    expect(aheadOf(last, 40, Date.parse(at(5)))).toEqual([
      last,
      { at: '2026-03-05T00:00:00.000Z', value: 260 },
    ]);
    expect(aheadOf(last, 40, Date.parse(at(1)))).toEqual([]);
  });

  it('lists every point in its table, even two of one instant', () => {
    const measured = [
      { at: at(1), value: 1 },
      { at: at(2), value: 2 },
      { at: at(2), value: 3 },
    ];
    expect(rowsOf([measured, [{ at: at(2), value: 9 }]])).toEqual([
      { at: at(2), values: [2, 9] },
      { at: at(2), values: [3, null] },
      { at: at(1), values: [1, null] },
    ]);
  });
});

describe('the texts of the pages', () => {
  const pages = appFiles().filter(({ name }) => /^assets\/(en|es)-.*\.js$/.test(name));

  it('are those of three pages in each language', () => {
    expect(pages.map(({ name }) => name.slice('assets/'.length, 'assets/en'.length)).sort()).toEqual([
      ...['en', 'en', 'en', 'es', 'es', 'es'],
    ]);
  });

  it.each(pages.map(({ name }) => name))('have the terms of the rules: %s', async (name) => {
    const { default: texts } = await import(new URL(`../../../dist/pages/${name}`, import.meta.url).href);
    const language = name.slice('assets/'.length, 'assets/en'.length) as Language;
    for (const code of [
      ...COMPONENTS.map((component) => `component-${component}`),
      ...ACTIONS.map((action) => `action-${action}`),
      ...CIRCUITS.map((circuit) => `circuit-${circuit}`),
      ...READING_KINDS.map((kind) => `reading-${kind}`),
      ...LOSS_ALERT_KINDS.map((kind) => `alert-${kind}`),
      ...['part-with-item', 'part-in-circuit', 'work-on-part', 'not-known'],
    ])
      expect([code, texts.messages[code]]).toEqual([code, LANGUAGE_FILES[language].messages[code]]);
  });
});

describe('a number', () => {
  it.each([
    [61_250.4, '61,250'],
    [21.7, '21.7'],
    [0.4226752838, '0.423'],
    [-3.456, '-3.46'],
    [0, '0'],
  ])('is written the way people read it: %d', (value, written) => {
    expect(numberIn('en-US', value)).toBe(written);
  });
});

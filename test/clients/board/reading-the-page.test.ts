import { aheadOf, chartScale, rowsOf, ticksOf } from '../../../clients/board/src/charts/chart-scale.js';
import { hashOf, NO_FILTERS, readRoute, type Route } from '../../../clients/board/src/route.js';
import { comebackMs, eventReader } from '../../../clients/board/src/server-events.js';
import {
  axisAround,
  dateOfDay,
  placeOf,
  placeOnStrip,
  rulesOf,
} from '../../../clients/board/src/due-lines/time-axis.js';
import { countsInWords } from '../../../clients/board/src/due-lines/due-words.js';
import { speak, tell, textsOf } from '../../../clients/board/src/language.js';
import {
  dayInWords,
  momentInWords,
  numberInWords,
  quantityInWords,
  workInWords,
} from '../../../clients/board/src/words.js';
import { ACTIONS, COMPONENTS } from '../../../src/domain/intervals/types.js';
import { LOSS_ALERT_KINDS } from '../../../src/domain/loss/facts/types.js';
import { READING_KINDS } from '../../../src/domain/readings/kinds.js';
import { boardFiles, textsName } from '../../../src/pages/board/board-files.js';
import { type Language, LANGUAGE_FILES } from '../../../src/platform/words/languages.js';

const speakIn = (language: Language): void => speak({ language, ...LANGUAGE_FILES[language] });

beforeEach(() => speakIn('en'));

describe('an address of the board', () => {
  const routes: Route[] = [
    { view: 'due', filters: NO_FILTERS },
    {
      view: 'due',
      filters: {
        depotId: '0198-a',
        states: ['late', 'no-baseline'],
        component: 'water-pump',
        q: 'R & 1/4?#%',
        cursor: 'c=',
      },
    },
    { view: 'alerts', cursor: '' },
    { view: 'alerts', cursor: 'abc' },
    { view: 'vehicle', vehicleId: '0198' },
    { view: 'job-card', vehicleId: '0198' },
  ];
  it.each(routes)('can be written and read back unchanged: %j', (route) => {
    expect(readRoute(hashOf(route))).toEqual(route);
  });

  it.each(['', '#', '#/', '#/nothing', '#/due?state=green', '#main', '#/vehicle/'])(
    'leads to the due list if it leads nowhere else: %s',
    (hash) => {
      expect(readRoute(hash)).toEqual({ view: 'due', filters: NO_FILTERS });
    },
  );

  it('is read even if it was cut off', () => {
    expect(readRoute('#/vehicle/%E0%A4%A')).toEqual({ view: 'vehicle', vehicleId: '%E0%A4%A' });
  });
});

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
  it('keeps every point and level within its frame, even a single point', () => {
    for (const values of [[3], [0, 0], [-2, 5], [1e-9, 2e-9], [900, 901]]) {
      const points = values.map((value, index) => ({ at: at(index + 1), value }));
      const scale = chartScale(points, [values[0] ?? 0]);
      for (const point of points) {
        expect(scale.x(point)).toBeGreaterThanOrEqual(12);
        expect(scale.x(point)).toBeLessThanOrEqual(98);
        expect(scale.y(point.value)).toBeGreaterThanOrEqual(5);
        expect(scale.y(point.value)).toBeLessThanOrEqual(86);
      }
      const ticks = ticksOf(scale.low, scale.high);
      expect(ticks.length).toBeGreaterThanOrEqual(2);
      expect(ticks.length).toBeLessThanOrEqual(6);
    }
  });

  it('has no point on its edge, and puts points of one instant in the middle', () => {
    const one = chartScale([{ at: at(1), value: 2 }], [1], true);
    expect([one.onlyMs, one.x({ at: at(1), value: 2 }), one.low]).toEqual([Date.parse(at(1)), 55, 0]);
    expect(one.y(2)).toBeGreaterThan(6);
    const points = [7, 9].map((value, index) => ({ at: at(index + 1), value }));
    const two = chartScale(points, []);
    expect([two.onlyMs, two.low < 7, two.high > 9]).toEqual([null, true, true]);
    expect(chartScale(points, [], true).low).toBe(0);
  });

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

describe('words', () => {
  // Mountain Time is 6 h behind UTC in September (tz database).
  it.each([
    ['en', '2026-09-11T05:06:00Z', /^September 10, 2026 at 11:06\sPM$/],
    ['en', '2026-09-11T06:06:00Z', /^September 11, 2026 at 12:06\sAM$/],
    ['es', '2026-09-11T05:06:00Z', /^10 de septiembre de 2026,? a las 11:06\sp\.\s?m\.$/],
  ] as const)('name an instant by the clocks of the fleet: %s, %s', (language, at, expected) => {
    speakIn(language);
    expect(momentInWords(at, 'America/Denver')).toMatch(expected);
  });

  it('name a day so that nobody takes the month for the day', () => {
    expect(dayInWords('2026-03-05')).toBe('March 5, 2026');
    speakIn('es');
    expect(dayInWords('2026-03-05')).toBe('5 de marzo de 2026');
  });

  it('use singular and plural for counted lines', () => {
    const counts = { late: 1200, due: 0, window: 3, 'not-due': 1, 'no-baseline': 5 };
    const states = ['late', 'window', 'not-due', 'no-baseline'] as const;
    expect(countsInWords(counts, states)).toEqual([
      ...['1,200 overdue', '3 due soon', '1 not due', '5 with the last service unknown'],
    ]);
    speakIn('es');
    expect(countsInWords(counts, states)).toEqual([
      ...['1,200 atrasados', '3 pronto tocan', '1 aún no toca', '5 con último servicio desconocido'],
    ]);
  });

  it('name work, and join a list, as the language does', () => {
    const work = { component: 'drive-belt', action: 'replace', item: 'fan' } as const;
    expect(workInWords(work)).toBe('drive belt (fan): replace');
    expect(tell('board-in-all', { counts: ['a', 'b', 'i'] })).toBe('In all: a, b, and i');
    speakIn('es');
    expect(workInWords(work)).toBe('banda impulsora (fan): cambio');
    expect(tell('board-in-all', { counts: ['a', 'b', 'i'] })).toBe('En total: a, b e i');
  });

  it.each(['en', 'es'] as const)('of the rules come with the page: %s', (language) => {
    const served = boardFiles().find(({ name }) => name === textsName(language));
    const { messages } = JSON.parse(String(served?.content).replace(/^export default |;\n$/g, ''));
    for (const code of [
      ...COMPONENTS.map((component) => `component-${component}`),
      ...ACTIONS.map((action) => `action-${action}`),
      ...READING_KINDS.map((kind) => `reading-${kind}`),
      ...LOSS_ALERT_KINDS.map((kind) => `alert-${kind}`),
      ...['part-with-item', 'work-on-part', 'hold-test-by-method'],
      ...['not-known', 'heading-at-once', 'heading-due-list', 'heading-cautions'],
    ])
      expect([code, messages[code]]).toEqual([code, LANGUAGE_FILES[language].messages[code]]);
  });

  it('take what is no markup or message for text', () => {
    expect(tell('board-job-by', { name: '<b>{x}</b>' })).toBe('By <b>{x}</b>.');
    expect(textsOf([{ text: '{x}' }, { text: 'told' }])).toEqual(['{x}', 'told']);
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
    expect(numberInWords(value)).toBe(written);
  });

  it('says when it is unknown, and shows no unit without a value', () => {
    expect([quantityInWords(null), quantityInWords({ value: 2, unit: '1' })]).toEqual(['not known', '2']);
  });
});

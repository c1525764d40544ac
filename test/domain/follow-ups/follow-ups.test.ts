import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import type { Verdict } from '../../../src/domain/evaluation/evaluation.js';
import { followUpLine } from '../../../src/domain/follow-ups/follow-up-line.js';
import { FOLLOW_UPS } from '../../../src/domain/follow-ups/follow-up-table.js';
import { followUpsOf, type OpenFollowUp } from '../../../src/domain/follow-ups/follow-ups.js';
import type { FollowUpReading } from '../../../src/domain/follow-ups/settling.js';
import { readDueLine, stateOn } from '../../../src/domain/intervals/due-state.js';
import type { FollowUpContext } from '../../../src/domain/intervals/types.js';
import type { ReadingKind } from '../../../src/domain/readings/kinds.js';
import { DAY, outlookOf } from '../intervals/due-fixtures.js';
import { HOUR, job, kinds, reading, type Said, T } from './follow-up-facts.js';

const PRESSURE = { says: { method: 'pressure' } };
const openAfter = (...facts: FollowUpReading[]): string[] => kinds(followUpsOf([], facts));

// Which fact opens and closes which follow-up: common practice, no source.
describe('what opens a follow-up', () => {
  it.each([
    ['coolant/replace', ['coolant/recheck recheck']],
    ['coolant/flush', ['coolant/recheck recheck']],
    ['water-pump/replace', ['coolant/recheck recheck']],
    ['lower-hose/replace', ['coolant/recheck recheck']],
    ['head-gasket/replace', ['coolant/recheck recheck']],
    ['injector-sleeve/replace', ['coolant/recheck recheck']],
    ['water-pump/inspect', []],
    ['drive-belt/replace', []],
    ['coolant/test', []],
    ['radiator-cap/replace', []],
  ])('a job with %s: %j', (line, expected) => {
    expect(kinds(followUpsOf([job('j', T, [line])], []))).toEqual(expected);
  });

  it.each<[ReadingKind, Verdict | null, Said, string[]]>([
    ['hold-test', 'fail', {}, ['coolant/test at-once']],
    ['hold-test', 'fail', PRESSURE, ['coolant/test at-once']],
    ['hold-test', 'inconclusive', {}, ['coolant/test soon']],
    ['hold-test', 'inconclusive', PRESSURE, ['coolant/test soon']],
    ['hold-test', 'pass', {}, []],
    ['freeze-point', 'fail', {}, ['coolant/adjust at-once']],
    ['freeze-point', 'inconclusive', {}, ['coolant/test soon']],
    ['torque-set', 'fail', {}, ['other/adjust/pump-to-cover at-once']],
    ['torque-set', 'inconclusive', {}, []],
    ['fill', 'pass', {}, ['coolant/recheck recheck']],
    ['fill', 'fail', {}, ['coolant/recheck recheck']],
    ['level-check', 'fail', {}, ['coolant/recheck recheck']],
    ['level-check', null, {}, []],
    ['cap-test', 'fail', {}, ['radiator-cap/replace at-once']],
    ['cap-test', 'inconclusive', {}, []],
    ['combustion-gas-test', 'fail', { says: { positive: true } }, ['head-gasket/replace at-once']],
    ['combustion-gas-test', 'inconclusive', {}, []],
    ['warm-up-check', 'inconclusive', {}, []],
    ['belt-check', 'inconclusive', {}, []],
  ])('a %s with verdict %s and %j: %j', (kind, verdict, said, expected) => {
    expect(openAfter(reading('r', T, kind, verdict, said))).toEqual(expected);
  });

  it.each([
    ['a leak', { leakSeen: true }, ['coolant/test at-once']],
    ['a shut thermostat', { thermostatOpened: false }, ['thermostat/replace at-once']],
    ['a dead fan', { fanCycled: false }, ['fan-drive/replace at-once']],
    ['no heat', { heatAtVents: false }, ['coolant/recheck recheck']],
    ['a restless temperature', { temperatureSteady: false }, ['coolant/recheck recheck']],
    ['a level that sank', { levelAfterCooling: 'below-mark' }, ['coolant/recheck recheck']],
    [
      'all together',
      { leakSeen: true, thermostatOpened: false, fanCycled: false, heatAtVents: false },
      [
        'coolant/test at-once',
        'thermostat/replace at-once',
        'fan-drive/replace at-once',
        'coolant/recheck recheck',
      ],
    ],
  ])('%s at warm-up', (_what, says, expected) => {
    expect(openAfter(reading('r', T, 'warm-up-check', 'fail', { says }))).toEqual(expected);
  });

  it.each([
    ['worn', { wearGauge: 'worn' }, {}, ['drive-belt/replace/fan at-once']],
    ['soaked', { contaminated: true }, {}, ['drive-belt/replace/fan at-once']],
    ['off its grooves', { ribsSeated: false }, {}, ['drive-belt/adjust/fan at-once']],
    [
      'off the grooves of one pulley',
      { pulleys: [{ name: 'crank', ribsSeated: false }] },
      {},
      ['drive-belt/adjust/fan at-once'],
    ],
    ['out of tension', { tensionerInRange: false }, {}, ['drive-belt/adjust/fan at-once']],
    ['out of line', {}, { alignmentDegrees: 0.5 }, ['drive-belt/adjust/fan at-once']],
    [
      'worn and out of line',
      { wearGauge: 'worn' },
      { alignmentDegrees: 0.5 },
      ['drive-belt/replace/fan at-once', 'drive-belt/adjust/fan at-once'],
    ],
  ])('a belt that is %s', (_what, says, computed, expected) => {
    const check = reading('r', T, 'belt-check', 'fail', { says: { ...says, item: 'fan' }, computed });
    expect(openAfter(check)).toEqual(expected);
  });

  it.each([
    ['oil', ['oil-cooler/replace at-once']],
    ['rust', ['coolant/flush at-once']],
    ['particles', ['coolant/flush at-once']],
    ['ph-acid', ['coolant/flush at-once']],
    ['ph-low', ['coolant/adjust soon']],
    ['nitrite-low', ['coolant/adjust soon']],
    ['sca-high', ['coolant/adjust soon']],
    ['reserve-alkalinity-low', ['coolant/replace soon']],
    ['laboratory-limit', ['coolant/flush soon']],
    ['something else', ['coolant/test soon']],
  ])('a coolant condition that finds %s: %j', (finding, expected) => {
    const found = { computed: { findings: ['cloudy', finding] } };
    expect(openAfter(reading('r', T, 'coolant-condition', 'fail', found))).toEqual(expected);
  });

  it.each([
    ['oily', ['oil-cooler/replace at-once']],
    ['rusty', ['coolant/flush at-once']],
    ['particles', ['coolant/flush at-once']],
    [null, ['coolant/test soon']],
  ])('a coolant condition of which only the look is known, %s: %j', (appearance, expected) => {
    expect(openAfter(reading('r', T, 'coolant-condition', 'fail', { says: { appearance } }))).toEqual(
      expected,
    );
  });

  it.each([
    [{}, ['leak'], ['coolant/test at-once']],
    [{}, ['lamp'], ['coolant/test at-once']],
    [{}, ['overheated'], ['coolant/test at-once']],
    [{}, ['stuck-open'], ['thermostat/replace at-once']],
    [{}, ['leak', 'stuck-open'], ['coolant/test at-once', 'thermostat/replace at-once']],
    [{ leakSeen: true }, null, ['coolant/test at-once']],
    [{ warningLamp: true }, null, ['coolant/test at-once']],
    [{}, null, ['coolant/test at-once']],
  ])('a road test of %j that finds %j: %j', (says, findings, expected) => {
    const computed: Record<string, string[]> = findings === null ? {} : { findings };
    expect(openAfter(reading('r', T, 'road-test', 'fail', { says, computed }))).toEqual(expected);
  });

  it.each([
    ['another base: flush it out', 'fail', { otherBase: true }, ['coolant/flush at-once']],
    [
      'another base, and so another technology',
      'fail',
      { otherBase: true, shortensCoolantLife: true },
      ['coolant/flush at-once'],
    ],
    [
      'more than a tenth of another technology: test it',
      null,
      { shortensCoolantLife: true },
      ['coolant/test soon'],
    ],
    ['water alone: read the strength at once', null, { strengthCheckDue: true }, ['coolant/test at-once']],
    ['both', null, { strengthCheckDue: true, shortensCoolantLife: true }, ['coolant/test at-once']],
    ['neither', null, { strengthCheckDue: false, shortensCoolantLife: false, otherBase: false }, []],
  ] as const)('what was poured in, %s', (_what, verdict, computed, expected) => {
    expect(openAfter(reading('r', T, 'top-up', verdict, { computed }))).toEqual(expected);
  });

  it('nothing from a baseline report', () => {
    expect(followUpsOf([job('j', T, ['coolant/replace'], true)], [])).toEqual([]);
  });

  it('a torque set: of the component that the sheet says its fasteners belong to', () => {
    const limits = { fasteners: [{ name: 'pump-to-cover', component: 'water-pump' }] };
    expect(openAfter(reading('r', T, 'torque-set', 'fail', { limits }))).toEqual([
      'water-pump/adjust/pump-to-cover at-once',
    ]);
  });

  it('never a second of a kind; a worse finding makes the open one more urgent from then on', () => {
    const facts = [
      reading('a', T, 'hold-test', 'inconclusive'),
      reading('b', T + DAY, 'hold-test', 'fail'),
      reading('c', T + 2 * DAY, 'hold-test', 'inconclusive'),
    ];
    expect(followUpsOf([], facts)).toMatchObject([
      {
        ...{ action: 'test', sourceId: 'a', openedAt: T + DAY, worstSourceId: 'b', urgency: 'at-once' },
        causes: [{ sourceId: 'a' }, { sourceId: 'b' }, { sourceId: 'c' }],
      },
    ]);
  });
});

describe('the table of follow-ups', () => {
  it('is the one in docs/domain.md', () => {
    const rows = readFileSync('docs/domain.md', 'utf8').matchAll(
      /^\| `([\w-]+)` +\|[^|]+\| ([\w -]+ \/ \w+) +\| ([\w ]+?) +\| ([^|]+?) +\|$/gm,
    );
    const inDocs = [...rows].map(([, finding, line, urgency, settledBy]) => [
      finding,
      line
        ?.replace(' / ', '/')
        .replace('its component', 'of-fastener')
        .replace('what it is about', 'of-defect'),
      urgency?.replace(' ', '-'),
      ...(settledBy ?? '').split(', '),
    ]);
    expect(inDocs).toEqual(Object.entries(FOLLOW_UPS).map(([finding, row]) => [finding, ...row]));
  });
});

describe('what closes a follow-up', () => {
  const opened = [job('j', T, ['water-pump/replace', 'coolant/replace'])];

  it.each<[string, string[]]>([
    ['coolant/test', ['hold-test']],
    ['coolant/adjust', ['freeze-point']],
    ['drive-belt/adjust', ['belt-check']],
    ['other/adjust/pump-to-cover', ['torque-set']],
  ])('%s: never a job line without a reading', (line, [kind]) => {
    const failed = reading('r', T, kind as ReadingKind, 'fail');
    const bare = job('k', T + DAY, [line, line.replace(/^(\w+)\/\w+/, '$1/inspect')]);
    expect(kinds(followUpsOf([bare], [failed]))).toEqual([`${line} at-once`]);
  });

  it.each<[string, Said, string, Said, boolean]>([
    ['pressure', PRESSURE, 'pressure', PRESSURE, true],
    ['pressure', PRESSURE, 'vacuum', {}, false],
    ['vacuum', {}, 'pressure', PRESSURE, true],
    ['vacuum', {}, 'vacuum', {}, true],
  ])(
    'a failed %s test: a passed one by pressure, or by vacuum where that failed',
    (_a, before, _b, then, closes) => {
      for (const verdict of ['fail', 'inconclusive'] as const) {
        const failed = reading('r', T, 'hold-test', verdict, before);
        const line = `coolant/test ${verdict === 'fail' ? 'at-once' : 'soon'}`;
        const left = closes ? [] : [line];
        expect(openAfter(failed, reading('s', T + DAY, 'hold-test', 'pass', then))).toEqual(left);
        expect(openAfter(failed, reading('s', T + DAY, 'hold-test', 'inconclusive', then))).toEqual([line]);
      }
    },
  );

  it('a recheck: a cold level check that passed after a heat cycle, and not a job line', () => {
    const after = (at: number, rest: Said = {}, verdict: Verdict = 'pass') =>
      kinds(followUpsOf(opened, [reading('r', at, 'level-check', verdict, rest)]));
    expect(after(T + DAY)).toEqual([]);
    expect(after(T + DAY, {}, 'inconclusive')).toEqual(['coolant/recheck recheck']);
    expect(after(T + DAY, { says: { engineCold: false } })).toEqual(['coolant/recheck recheck']);
    expect(after(T + DAY, { says: { engineCold: null } })).toEqual(['coolant/recheck recheck']);
    expect(after(T + HOUR)).toEqual(['coolant/recheck recheck']);
    expect(after(T, { jobId: 'j' })).toEqual(['coolant/recheck recheck']);
    expect(kinds(followUpsOf([...opened, job('k', T + DAY, ['coolant/recheck'])], []))).toEqual([
      'coolant/recheck recheck',
    ]);
  });

  it('a recheck: a level found low closes it and opens the next, which stays until a level passes', () => {
    const low = reading('r', T + 2 * DAY, 'level-check', 'fail');
    expect(followUpsOf(opened, [low])).toMatchObject([
      { action: 'recheck', sourceId: 'r', openedAt: T + 2 * DAY },
    ]);
    const again = reading('s', T + 4 * DAY, 'level-check', 'fail');
    expect(followUpsOf(opened, [low, again])).toMatchObject([
      { sourceId: 'r', openedAt: T + 2 * DAY, causes: [{ sourceId: 'r' }, { sourceId: 's' }] },
    ]);
  });

  it('a recheck: opening the circuit once more begins it anew', () => {
    expect(followUpsOf([...opened, job('k', T + DAY, ['coolant/replace'])], [])).toMatchObject([
      { action: 'recheck', sourceId: 'k', openedAt: T + DAY, causes: [{ sourceId: 'k' }] },
    ]);
  });

  it('a strength check after water: any freeze point that is not inconclusive, and not a hold test', () => {
    const water = reading('w', T, 'top-up', null, { computed: { strengthCheckDue: true } });
    const after = (kind: ReadingKind, verdict: Verdict | null) =>
      openAfter(water, reading('s', T + DAY, kind, verdict));
    expect(after('hold-test', 'pass')).toEqual(['coolant/test at-once']);
    expect(after('freeze-point', 'pass')).toEqual([]);
    expect(after('freeze-point', null)).toEqual([]);
    expect(after('freeze-point', 'fail')).toEqual(['coolant/adjust at-once']);
    expect(after('freeze-point', 'inconclusive')).toEqual(['coolant/test at-once']);
  });

  it('a test of a mixed coolant: a condition that did not fail', () => {
    const mixed = reading('m', T, 'top-up', null, { computed: { shortensCoolantLife: true } });
    const after = (verdict: Verdict | null) =>
      openAfter(mixed, reading('s', T + DAY, 'coolant-condition', verdict));
    expect(after('pass')).toEqual([]);
    expect(after(null)).toEqual([]);
    expect(after('inconclusive')).toEqual(['coolant/test soon']);
    expect(after('fail')).toEqual(['coolant/test soon']);
  });

  it('a test with two findings: each is settled by itself, and the line is as urgent as what is left', () => {
    const water = reading('w', T, 'top-up', null, { computed: { shortensCoolantLife: true } });
    const held = reading('h', T + DAY, 'hold-test', 'fail');
    const good = reading('p', T + 3 * DAY, 'hold-test', 'pass');
    const fit = reading('f', T + 4 * DAY, 'coolant-condition', 'pass');
    expect(openAfter(water, held)).toEqual(['coolant/test at-once']);
    expect(followUpsOf([], [water, held, good])).toMatchObject([
      { sourceId: 'w', worstSourceId: 'w', openedAt: T, urgency: 'soon', causes: [{ sourceId: 'w' }] },
    ]);
    expect(followUpsOf([], [water, held, fit])).toMatchObject([
      { sourceId: 'w', worstSourceId: 'h', urgency: 'at-once', causes: [{ sourceId: 'h' }] },
    ]);
    expect(openAfter(water, held, good, fit)).toEqual([]);
  });

  it('within a job: a later pass of the same reading settles a failure, an earlier one does not', () => {
    const ofJob = (kind: ReadingKind, verdicts: Verdict[], said: Said = {}) =>
      kinds(
        followUpsOf(
          [job('k', T, ['water-pump/inspect'])],
          // By their ids they would come the other way round.
          verdicts.map((verdict, position) =>
            reading(`r${9 - position}`, T, kind, verdict, { jobId: 'k', position, ...said }),
          ),
        ),
      );
    expect(ofJob('hold-test', ['fail', 'pass'])).toEqual([]);
    expect(ofJob('hold-test', ['fail', 'pass'], PRESSURE)).toEqual([]);
    expect(ofJob('hold-test', ['pass', 'fail'])).toEqual(['coolant/test at-once']);
    expect(ofJob('torque-set', ['fail', 'pass'])).toEqual([]);
    expect(ofJob('torque-set', ['pass', 'fail'])).toEqual(['other/adjust/pump-to-cover at-once']);
    expect(ofJob('level-check', ['fail', 'pass'])).toEqual([]);
    expect(ofJob('warm-up-check', ['fail', 'pass'])).toEqual([]);
  });

  it('within a job: the reading tells how the work left it, so that a new belt does not answer for itself', () => {
    const worn = reading('r', T, 'belt-check', 'fail', { jobId: 'k', says: { wearGauge: 'worn' } });
    expect(kinds(followUpsOf([job('k', T, ['drive-belt/replace'])], [worn]))).toEqual([
      'drive-belt/replace at-once',
    ]);
  });

  it('an adjustment of the strength: a passed freeze point, and not new coolant alone', () => {
    const weak = reading('r', T, 'freeze-point', 'fail');
    expect(openAfter(weak, reading('s', T + DAY, 'freeze-point', 'pass'))).toEqual([]);
    expect(kinds(followUpsOf([job('k', T + DAY, ['coolant/replace'])], [weak]))).toEqual([
      'coolant/adjust at-once',
      'coolant/recheck recheck',
    ]);
  });

  it('torques: a passed set of the same fasteners', () => {
    const loose = reading('r', T, 'torque-set', 'fail');
    const other = { says: { fastener: 'pulley' } };
    expect(openAfter(loose, reading('s', T + DAY, 'torque-set', 'pass', other))).toHaveLength(1);
    expect(openAfter(loose, reading('s', T + DAY, 'torque-set', 'pass'))).toEqual([]);
  });

  it('a cap and another base: a new cap and a flush', () => {
    const cap = reading('r', T, 'cap-test', 'fail');
    expect(openAfter(cap, reading('s', T + DAY, 'cap-test', 'inconclusive'))).toHaveLength(1);
    expect(openAfter(cap, reading('s', T + DAY, 'cap-test', 'pass'))).toEqual([]);
    expect(kinds(followUpsOf([job('k', T + DAY, ['radiator-cap/inspect'])], [cap]))).toHaveLength(1);
    expect(kinds(followUpsOf([job('k', T + DAY, ['radiator-cap/replace'])], [cap]))).toEqual([]);
    const base = reading('b', T, 'top-up', 'fail', { computed: { otherBase: true } });
    expect(kinds(followUpsOf([job('k', T + DAY, ['coolant/replace'])], [base]))).toEqual([
      'coolant/flush at-once',
      'coolant/recheck recheck',
    ]);
    expect(kinds(followUpsOf([job('k', T + DAY, ['coolant/flush'])], [base]))).toEqual([
      'coolant/recheck recheck',
    ]);
    const clear = reading('d', T + DAY, 'coolant-condition', 'pass', { says: { appearance: 'clear' } });
    expect(openAfter(base, clear)).toHaveLength(1);
  });

  it('a doubtful strength: any freeze point that is not inconclusive', () => {
    const doubtful = reading('r', T, 'freeze-point', 'inconclusive');
    const after = (verdict: Verdict) => openAfter(doubtful, reading('s', T + DAY, 'freeze-point', verdict));
    expect(after('pass')).toEqual([]);
    expect(after('fail')).toEqual(['coolant/adjust at-once']);
    expect(after('inconclusive')).toEqual(['coolant/test soon']);
  });

  it('combustion gas: a negative test, hot and under load, after the repair', () => {
    const gas = reading('r', T, 'combustion-gas-test', 'fail', { says: { positive: true } });
    const negative = (rest: Said = {}) =>
      reading('s', T + 2 * DAY, 'combustion-gas-test', 'inconclusive', {
        says: { positive: false, engineHot: true, underLoad: true },
        ...rest,
      });
    const isOpen = (jobs: string[], ...later: FollowUpReading[]): boolean =>
      kinds(followUpsOf(jobs.length === 0 ? [] : [job('k', T + DAY, jobs)], [gas, ...later])).includes(
        'head-gasket/replace at-once',
      );
    expect(isOpen([])).toBe(true);
    expect(isOpen([], negative())).toBe(true);
    expect(isOpen(['head-gasket/replace'])).toBe(true);
    expect(isOpen(['head-gasket/inspect'], negative())).toBe(true);
    expect(isOpen(['head-gasket/replace'], negative({ says: { positive: false } }))).toBe(true);
    for (const part of ['head-gasket', 'injector-sleeve', 'egr-cooler', 'other'])
      expect(isOpen([`${part}/replace`], negative())).toBe(false);
    // All in one report.
    const inOne = [
      { ...gas, jobId: 'k', position: 0 },
      { ...negative({ jobId: 'k', position: 1 }), at: T },
    ];
    expect(kinds(followUpsOf([job('k', T, ['head-gasket/replace'])], inOne))).toEqual([
      'coolant/recheck recheck',
    ]);
    expect(kinds(followUpsOf([job('k', T, ['coolant/test'])], inOne))).toEqual([
      'head-gasket/replace at-once',
    ]);
  });

  it('what a warm-up showed: a passed warm-up; a leak and what comes of air, a passed pressure test as well', () => {
    const isClosedBy = (says: object, kind: ReadingKind, said: Said = {}): boolean =>
      openAfter(reading('r', T, 'warm-up-check', 'fail', { says }), reading('s', T + DAY, kind, 'pass', said))
        .length === 0;
    for (const says of [{ leakSeen: true }, { heatAtVents: false }]) {
      expect(isClosedBy(says, 'warm-up-check')).toBe(true);
      expect(isClosedBy(says, 'hold-test', PRESSURE)).toBe(true);
      expect(isClosedBy(says, 'hold-test')).toBe(false);
      expect(isClosedBy(says, 'level-check')).toBe(false);
    }
    for (const says of [{ thermostatOpened: false }, { fanCycled: false }]) {
      expect(isClosedBy(says, 'warm-up-check')).toBe(true);
      expect(isClosedBy(says, 'hold-test', PRESSURE)).toBe(false);
    }
    const shut = reading('r', T, 'warm-up-check', 'fail', { says: { thermostatOpened: false } });
    expect(kinds(followUpsOf([job('k', T + DAY, ['thermostat/replace'])], [shut]))).toContain(
      'thermostat/replace at-once',
    );
  });

  it('what a drive showed: a passed road test; a leak, a passed pressure test; stuck open, a warm-up with a new thermostat', () => {
    const found = (finding: string) =>
      reading('r', T, 'road-test', 'fail', { computed: { findings: [finding] } });
    for (const finding of ['leak', 'lamp', 'overheated', 'stuck-open'])
      expect(openAfter(found(finding), reading('s', T + DAY, 'road-test', 'pass'))).toEqual([]);
    const pressed = reading('s', T + DAY, 'hold-test', 'pass', PRESSURE);
    expect(openAfter(found('leak'), pressed)).toEqual([]);
    expect(openAfter(found('overheated'), pressed)).toHaveLength(1);
    const warm = reading('w', T + 2 * DAY, 'warm-up-check', 'pass');
    const renewed = job('k', T + DAY, ['thermostat/replace']);
    expect(openAfter(found('stuck-open'), warm)).toHaveLength(1);
    expect(kinds(followUpsOf([renewed], [found('stuck-open')]))).toHaveLength(2);
    expect(kinds(followUpsOf([renewed], [found('stuck-open'), warm]))).toEqual(['coolant/recheck recheck']);
  });

  describe('a failed belt', () => {
    const whole = { item: 'fan', ribsSeated: true, offsetMm: 0.5, spanMm: 220, wearGauge: 'ok' };
    const isClosed = (before: object, check: object): boolean =>
      openAfter(
        reading('r', T, 'belt-check', 'fail', { says: { item: 'fan', ...before } }),
        reading('s', T + DAY, 'belt-check', 'pass', { says: check }),
      ).length === 0;

    it.each([
      ['all of it', {}, whole, true],
      [
        'all of it, pulley by pulley',
        {},
        { ...whole, ribsSeated: null, pulleys: [{ name: 'crank', ribsSeated: true }] },
        true,
      ],
      ['ribs alone', {}, { item: 'fan', ribsSeated: true }, false],
      ['all but the wear', {}, { ...whole, wearGauge: null }, false],
      ['all but the alignment', {}, { ...whole, offsetMm: null }, false],
      ['all but the ribs', {}, { ...whole, ribsSeated: null }, false],
      ['another belt', {}, { ...whole, item: 'accessory' }, false],
      ['all but the oil that was on it', { contaminated: true }, whole, false],
      ['the oil, too', { contaminated: true }, { ...whole, contaminated: false }, true],
      ['all but the tensioner that was out', { tensionerInRange: false }, whole, false],
      ['the tensioner, too', { tensionerInRange: false }, { ...whole, tensionerInRange: true }, true],
    ])('and a passed check of %s', (_what, before, check, closes) => {
      for (const wrong of [{ ribsSeated: false }, { wearGauge: 'worn' }])
        expect(isClosed({ ...wrong, ...before }, check)).toBe(closes);
    });

    it('and a new belt, the same one', () => {
      const worn = reading('r', T, 'belt-check', 'fail', { says: { item: 'fan', wearGauge: 'worn' } });
      const after = (line: string) => kinds(followUpsOf([job('k', T + DAY, [line])], [worn]));
      expect(after('drive-belt/replace/fan')).toEqual([]);
      expect(after('drive-belt/replace')).toEqual([]);
      expect(after('drive-belt/replace/accessory')).toEqual(['drive-belt/replace/fan at-once']);
      expect(after('drive-belt/inspect/fan')).toEqual(['drive-belt/replace/fan at-once']);
    });
  });

  it('a strength judged by other limits: it tells whether to adjust, and not that it was read again', () => {
    const water = reading('w', T, 'top-up', null, { computed: { strengthCheckDue: true } });
    const weak = reading('r', T, 'freeze-point', 'fail');
    const judgedAnew = reading('e', T + DAY, 'freeze-point', 'pass', { isJudgedAnew: true });
    expect(openAfter(water, judgedAnew)).toEqual(['coolant/test at-once']);
    expect(openAfter(weak, judgedAnew)).toEqual([]);
  });
});

describe('follow-ups of any history', () => {
  const someJob = fc.record({
    day: fc.nat(20),
    lines: fc.subarray(
      ['coolant/replace', 'coolant/test', 'coolant/flush', 'head-gasket/replace', 'drive-belt/replace'],
      { minLength: 1 },
    ),
    isBaseline: fc.integer({ min: 0, max: 5 }).map((n) => n === 0),
  });
  const someReading = fc.record({
    day: fc.nat(20),
    kind: fc.constantFrom<ReadingKind[]>(
      ...(['hold-test', 'freeze-point', 'level-check', 'fill', 'belt-check', 'torque-set'] as const),
      ...(['warm-up-check', 'combustion-gas-test', 'coolant-condition', 'road-test'] as const),
    ),
    verdict: fc.constantFrom<Verdict[]>('pass', 'fail', 'inconclusive'),
    ofJob: fc.option(fc.nat(5)),
  });

  it('are the same in whatever order the facts came, never two of a kind, and each with an open finding', () => {
    fc.assert(
      fc.property(
        fc.array(someJob, { maxLength: 6 }),
        fc.array(someReading, { maxLength: 12 }),
        (jobs, readings) => {
          const allJobs = jobs.map(({ day, lines, isBaseline }, i) =>
            job(`j${i}`, T + day * DAY, lines, isBaseline),
          );
          const all = readings.map(({ day, kind, verdict, ofJob }, position) => {
            const parent = ofJob === null ? undefined : allJobs[ofJob];
            const jobId = parent?.id ?? null;
            return reading(`r${position}`, parent?.at ?? T + day * DAY, kind, verdict, { jobId, position });
          });
          const open = followUpsOf(allJobs, all);
          expect(followUpsOf([...allJobs].reverse(), [...all].reverse())).toEqual(open);
          const names = kinds(open).map((kind) => kind.split(' ')[0]);
          expect(new Set(names).size).toBe(names.length);
          for (const { causes, worstSourceId } of open)
            expect(causes.map(({ sourceId }) => sourceId)).toContain(worstSourceId);
        },
      ),
    );
  });
});

describe('followUpLine', () => {
  const context = (rest: Partial<FollowUpContext> = {}): FollowUpContext => ({
    status: 'in-use',
    inUseSince: null,
    odometerLifetimeKmAtOpening: 10_000,
    engineHoursLifetimeAtOpening: null,
    distance: outlookOf({ '2026-04-02': 10_000 }, 20),
    engineHours: null,
    timeZone: 'UTC',
    ...rest,
  });
  const seed = (
    urgency: OpenFollowUp['urgency'],
    action: OpenFollowUp['action'] = 'recheck',
  ): OpenFollowUp => ({
    component: 'coolant',
    action,
    item: null,
    sourceId: 'j',
    causes: [
      {
        finding: 'circuit-opened',
        sourceId: 'j',
        reading: null,
        fault: null,
        defect: null,
        openedAt: T,
        isRepaired: false,
      },
    ],
    openedAt: T,
    worstSourceId: 'j',
    seenAgainAfter: null,
    urgency,
    dueOn: null,
    told: [{ code: 'follow-up-circuit-opened', values: {} }],
  });

  // 3 days or 160 km, late after 7 days or 500 km: common practice, no source.
  it('makes a recheck due after 3 days and late after 7, open at once', () => {
    const line = followUpLine(seed('recheck'), context())!;
    expect(line).toMatchObject({
      windowOpensOn: '2026-04-02',
      dueOn: '2026-04-05',
      lateOn: '2026-04-09',
      trigger: 'time',
    });
    expect(line.dueAt).toEqual({ odometerLifetimeKm: 10_160, engineHoursLifetime: null, on: '2026-04-05' });
    expect(['2026-04-02', '2026-04-05', '2026-04-09'].map((day) => stateOn(day, line))).toEqual([
      'window',
      'due',
      'late',
    ]);
  });

  it('makes it due after 160 km where those are run sooner, but not before one heat cycle', () => {
    expect(
      followUpLine(seed('recheck'), context({ distance: outlookOf({ '2026-04-02': 10_000 }, 90) }))!,
    ).toMatchObject({ dueOn: '2026-04-04', trigger: 'distance' });
    const soon = { '2026-04-01': 9000, '2026-04-02': 10_400 };
    expect(followUpLine(seed('recheck'), context({ distance: outlookOf(soon) }))!.dueOn).toBe('2026-04-03');
  });

  it('has an engine-hour twin, 25 h for 1,000 km', () => {
    const line = followUpLine(
      seed('recheck'),
      context({
        distance: null,
        odometerLifetimeKmAtOpening: null,
        engineHours: outlookOf({ '2026-04-02': 500 }, 2),
        engineHoursLifetimeAtOpening: 500,
      }),
    )!;
    expect(line).toMatchObject({
      dueOn: '2026-04-04',
      trigger: 'engine-hours',
      dueAt: { engineHoursLifetime: 504 },
    });
  });

  it('waits while the vehicle is laid up, and counts from the first day in use again', () => {
    const resting = followUpLine(seed('recheck'), context({ status: 'laid-up' }))!;
    expect(readDueLine(resting, '2027-01-01')).toMatchObject({ state: 'not-due' });
    expect(followUpLine(seed('recheck'), context({ inUseSince: '2026-06-01' }))!).toMatchObject({
      windowOpensOn: '2026-06-01',
      dueOn: '2026-06-04',
      lateOn: '2026-06-08',
    });
  });

  it('makes a failed reading due that very day, an inconclusive one in a week', () => {
    expect(followUpLine(seed('at-once', 'test'), context())!).toMatchObject({
      dueOn: '2026-04-02',
      lateOn: '2026-04-09',
    });
    expect(followUpLine(seed('soon', 'test'), context())!).toMatchObject({
      windowOpensOn: '2026-04-02',
      dueOn: '2026-04-09',
      lateOn: '2026-04-16',
    });
  });

  it('is none for a vehicle that was disposed of', () => {
    expect(followUpLine(seed('recheck'), context({ status: 'disposed' }))).toBeNull();
  });

  it('settles a failed test of which no target is known by one that starts as hard, and no gentler', () => {
    const test = (id: string, at: number, verdict: 'pass' | 'fail', startKpa: number) =>
      reading(id, at, 'hold-test', verdict, { says: { method: 'pressure', startKpa } });
    const failed = test('a', T, 'fail', 100);
    const left = (startKpa: number) => kinds(followUpsOf([], [failed, test('b', T + DAY, 'pass', startKpa)]));
    expect(left(94)).toEqual(['coolant/test at-once']);
    expect(left(95)).toEqual([]);
  });
});

import { cautionsFor, CAUTIONS } from '../../../src/domain/cautions/cautions.js';
import { evaluateCapTest as judgeCap } from '../../../src/domain/checks/cap-test.js';
import { evaluateCombustionGasTest as judgeGas } from '../../../src/domain/checks/combustion-gas-test.js';
import { evaluateLevelCheck as judgeLevel } from '../../../src/domain/checks/level-check.js';
import {
  evaluateWarmUpCheck as judgeWarmUp,
  type WarmUpCheckReading,
} from '../../../src/domain/checks/warm-up-check.js';
import { evaluateTopUp as judgeTopUp } from '../../../src/domain/filling/top-up.js';
import type { Message } from '../../../src/domain/message.js';
import { convert } from '../../../src/domain/quantities/units.js';
import { toldChange } from '../../../src/domain/quantities/told.js';
import { plain, say } from '../../../src/domain/quantities/wording.js';
import { changeInWords } from '../../../src/platform/words/quantity-words.js';
import { judgingInEnglish } from '../../support/refusals-in-english.js';
import { english } from '../../support/english.js';

const evaluateCapTest = judgingInEnglish(judgeCap);
const evaluateCombustionGasTest = judgingInEnglish(judgeGas);
const evaluateLevelCheck = judgingInEnglish(judgeLevel);
const evaluateWarmUpCheck = judgingInEnglish(judgeWarmUp);
const evaluateTopUp = judgingInEnglish(judgeTopUp);

describe('warm-up check', () => {
  const good: WarmUpCheckReading = {
    kind: 'warm-up-check',
    heatAtVents: true,
    fanCycled: true,
    thermostatOpened: true,
    temperatureSteady: true,
    leakSeen: false,
    levelAfterCooling: 'at-mark',
  };

  it('passes, also where no heater and a fan fixed to its pulley are fitted', () => {
    expect(evaluateWarmUpCheck(good).verdict).toBe('pass');
    expect(evaluateWarmUpCheck({ ...good, heatAtVents: null, fanCycled: null }).verdict).toBe('pass');
    expect(evaluateWarmUpCheck({ ...good, levelAfterCooling: 'above-mark' }).reasons.join()).toMatch(
      /Draw it down/,
    );
  });

  it.each([
    { leakSeen: true },
    { heatAtVents: false },
    { thermostatOpened: false },
    { temperatureSteady: false },
    { fanCycled: false },
    { levelAfterCooling: 'below-mark' as const },
  ])('fails with %j', (bad) => {
    expect(evaluateWarmUpCheck({ ...good, ...bad }).verdict).toBe('fail');
  });

  it.each([
    { leakSeen: null },
    { thermostatOpened: null },
    { temperatureSteady: null },
    { levelAfterCooling: null },
  ])('is open with %j', (unseen) => {
    expect(evaluateWarmUpCheck({ ...good, ...unseen }).verdict).toBe('inconclusive');
    expect(evaluateWarmUpCheck({ ...good, ...unseen, heatAtVents: false }).verdict).toBe('fail');
  });
});

describe('level check', () => {
  const level = (belowMarkL: number, engineCold: boolean | null = true) =>
    ({ kind: 'level-check', belowMarkL, engineCold, unit: 'L' }) as const;

  // u = the larger of 0.15 L and 0.75 % of capacity, k = 2 (common practice): ±0.3 L up to 20 L or
  // when unknown, ±0.6 L for 40 L.
  it.each([
    [0.3, 14, 'pass'],
    [0.31, 14, 'fail'],
    [0.6, 40, 'pass'],
    [0.61, 40, 'fail'],
    [0.3, null, 'pass'],
    [0.31, null, 'fail'],
    [-1, 14, 'pass'],
  ])('%d L below the mark of %d L is %s', (belowMarkL, capacityL, verdict) => {
    expect(evaluateLevelCheck(level(belowMarkL), { capacityL }).verdict).toBe(verdict);
  });

  it('says nothing on a warm engine', () => {
    expect(evaluateLevelCheck(level(0, false)).verdict).toBe('inconclusive');
    expect(evaluateLevelCheck(level(2, null)).reasons[0]).toMatch(/Read it again cold/);
    expect(() => evaluateLevelCheck(level(Number.NaN))).toThrow(/belowMark/);
  });
});

describe('top-up', () => {
  const top = (more: object = {}) =>
    ({ kind: 'top-up', addedL: 0.5, toMark: true, planned: false, unit: 'L', ...more }) as const;

  it('has no limit of its own', () => {
    expect(evaluateTopUp(top({ strengthPercent: 50 })).verdict).toBeNull();
    expect(() => evaluateTopUp(top({ addedL: 0 }))).toThrow(/added/);
  });

  // By hand: 0.5 L of water in 12 L at 50 %.
  it('with water weakens the coolant and calls for a strength check at once', () => {
    const result = evaluateTopUp(top({ strengthPercent: 0 }), { capacityL: 12, strengthPercent: 50 });
    expect(result.computed.resultStrengthPercent).toBeCloseTo(47.9166666667, 9);
    expect(result.computed.strengthCheckDue).toBe(true);
    expect(result.reasons.join()).toMatch(/check the freeze point at once/);
    const read = evaluateTopUp(top({ strengthPercent: 0 }), { freezePointRead: 'after' });
    expect(read.computed.strengthCheckDue).toBe(false);
  });

  it('with another base fails', () => {
    const result = evaluateTopUp(top({ base: 'propylene-glycol' }), { base: 'ethylene-glycol' });
    expect(result.verdict).toBe('fail');
    expect(result.computed.otherBase).toBe(true);
  });
});

describe('cap test', () => {
  const cap = (opensAtKpa: number | null, holdsAtKpa: number | null, vacuumValveOk: boolean | null = true) =>
    ({ kind: 'cap-test', opensAtKpa, holdsAtKpa, vacuumValveOk, unit: 'kPa' }) as const;

  // Holds 90 %, opens at no more than 115 % of its rating (common practice): 90 and 115 kPa for
  // 100.
  it.each([
    [110, 95, 'pass'],
    [115, 90, 'pass'],
    [116, 95, 'fail'],
    [110, 89, 'fail'],
    [85, null, 'fail'],
    [110, null, 'inconclusive'],
    [null, 95, 'inconclusive'],
  ])('opens at %d, holds %d of 100 kPa: %s', (opensAt, holdsAt, verdict) => {
    expect(evaluateCapTest(cap(opensAt, holdsAt), { capRatingKpa: 100 }).verdict).toBe(verdict);
  });

  it('fails on a stuck vacuum valve, with or without a rating', () => {
    expect(evaluateCapTest(cap(110, 95, false), { capRatingKpa: 100 }).verdict).toBe('fail');
    expect(evaluateCapTest(cap(110, 95, false)).verdict).toBe('fail');
    expect(evaluateCapTest(cap(110, 95)).verdict).toBeNull();
    expect(() => evaluateCapTest(cap(-1, 95))).toThrow(/opensAt/);
  });
});

describe('combustion-gas test', () => {
  it('fails when positive; one negative excludes nothing', () => {
    expect(evaluateCombustionGasTest({ kind: 'combustion-gas-test', positive: true }).verdict).toBe('fail');
    const cold = evaluateCombustionGasTest({
      kind: 'combustion-gas-test',
      positive: false,
      engineHot: false,
    });
    expect(cold.verdict).toBe('inconclusive');
    expect(cold.reasons[0]).toMatch(/Repeat it hot and under load/);
    const hot = { kind: 'combustion-gas-test', positive: false, engineHot: true, underLoad: true } as const;
    expect(evaluateCombustionGasTest(hot).verdict).toBe('inconclusive');
  });
});

describe('what a combustion-gas test says', () => {
  const reasonOf = (positive: boolean) =>
    evaluateCombustionGasTest({ kind: 'combustion-gas-test', positive, engineHot: true }).reasons.join(' ');

  // Common practice, no source.
  it('is to park a vehicle with a positive one, and where to look', () => {
    expect(reasonOf(true)).toMatch(/Park the vehicle.*head gasket.*EGR cooler and injector sleeves/);
  });

  it('is to fit the tester cold before it is repeated', () => {
    expect(reasonOf(false)).toMatch(/Fit the tester cold, with the level lowered, then warm the engine up/);
  });
});

describe('cautions', () => {
  it('defer to the vehicle maker, local rules and qualified people in every list', () => {
    for (const list of Object.values(CAUTIONS))
      expect(english(list.at(-1)!)).toMatch(/vehicle maker.*qualified.*local rules/);
    expect(new Set(cautionsFor('whole-job')).size).toBe(12);
  });

  it('leave nothing of any kind of work out of the whole job, and keep its order', () => {
    for (const [work, list] of Object.entries(CAUTIONS)) {
      if (work === 'planning') continue;
      const inOrder = CAUTIONS['whole-job'].filter((caution) =>
        list.some((own: Message) => own.code === caution.code),
      );
      expect(list).toEqual(inOrder);
    }
  });

  // Common practice, no source: a cap can be cool while the coolant below it is not.
  it('say how a system is known to be cool, by the hose and not by the cap', () => {
    const hot = english(cautionsFor('cooling-system')[0]!);
    expect(hot).toMatch(/Engine off.*wait until the upper hose is cool to the hand.*rag.*first stop/);
    expect(hot).not.toMatch(/cap is cool/);
  });

  it.each([
    ['fastening', /key out.*wheels chocked.*articulation.*locked/],
    ['belt-drive', /key out/],
    ['running-engine', /leads the exhaust outside/],
    ['timing-drive', /timing marks.*If the belt drives the water pump, replace the pump along with it/],
    ['combustion-gas-test', /leads the exhaust outside/],
  ] as const)('of %s say %s', (work, words) => {
    expect(cautionsFor(work).map(english).join(' ')).toMatch(words);
  });

  it('say never to open a hot system wherever the cap may come off', () => {
    for (const work of [
      'cooling-system',
      'vacuum-test',
      'pressure-test',
      'coolant-sample',
      'filling',
      'running-engine',
    ] as const) {
      expect(english(cautionsFor(work)[0]!)).toMatch(/Never open a hot system/);
    }
  });
});

describe('numbers in sentences', () => {
  it.each([
    [24.97041, '24.97'],
    [0.3000000004, '0.3'],
    [101.325, '101.3'],
    [1880, '1880'],
    [0.00012, '0.00012'],
    [0, '0'],
  ])('%d is said as %s', (value, words) => {
    expect(plain(value)).toBe(words);
  });

  it('carry the typed unit, and no offset on a difference', () => {
    expect(say(convert(22, 'inHg', 'kPa'), 'kPa', 'inHg')).toBe('22 inHg');
    expect(say(convert(18, 'ft.lbf', 'N.m'), 'N.m', 'ft.lbf')).toBe('18 lbf·ft');
    expect(say(-37, 'C', '%')).toBe('-37 °C');
    expect(changeInWords(toldChange(10, 'F'), null, 'en-US')).toBe('18 °F');
  });
});

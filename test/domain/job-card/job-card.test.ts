import fc from 'fast-check';
import { atmosphereAt } from '../../../src/domain/atmosphere/atmosphere.js';
import { CAUTIONS } from '../../../src/domain/cautions/cautions.js';
import { volumePercentFromMass } from '../../../src/domain/coolant/strength-conversion.js';
import { COMMON_PRACTICE } from '../../../src/domain/evaluation/common-practice.js';
import { ACTIONS, COMPONENTS, type WorkLine } from '../../../src/domain/intervals/types.js';
import { type CardSheet, jobCard, type JobCardInput } from '../../../src/domain/job-card/job-card.js';
import { boilOverForJob } from '../../../src/domain/job-card/to-bring/boil-over-for-job.js';
import { coolantForJob } from '../../../src/domain/job-card/to-bring/coolant-for-job.js';
import { holdTestForJob } from '../../../src/domain/job-card/to-bring/hold-test-for-job.js';
import { cautionsOfJob, workOf } from '../../../src/domain/job-card/work/card-work.js';
import { partsNamed } from '../../../src/domain/job-card/work/words.js';
import { convert } from '../../../src/domain/quantities/units.js';
import type { Language } from '../../../src/platform/words/languages.js';
import { english } from '../../support/english.js';
import { readBy } from '../../support/read-by.js';

const lines = (...words: string[]): WorkLine[] =>
  words.map((word) => {
    const [component, action, item = null] = word.split(':') as [string, string, string?];
    return { component, action, item } as WorkLine;
  });

const TARGET_KPA = convert(23, 'inHg', 'kPa');
const CAP_KPA = convert(16, 'psi', 'kPa');
const SHEET: CardSheet = {
  coolant: {
    base: 'ethylene-glycol',
    technology: 'OAT',
    capacityL: 14,
    drainableL: 9.5,
    targetStrengthPercent: 50,
  },
  capRatingKpa: CAP_KPA,
  holdTest: {
    procedureMethod: 'vacuum',
    targetKpa: TARGET_KPA,
    allowedLossKpa: convert(1, 'inHg', 'kPa'),
    allowedMinutes: 5,
    capRatingKpa: CAP_KPA,
  },
  fasteners: [
    { name: 'pump-to-cover', count: 9, component: 'water-pump', torqueNm: 11, tolerancePercent: 10 },
    { name: 'pulley', count: 4, torqueNm: 25, angle: '90°' },
    { name: 'idler', count: 1, component: 'idler', minNm: 45, maxNm: 55 },
    { name: 'drain plug', count: 1, component: 'coolant', torqueNm: 30 },
  ],
  belts: [
    { name: 'accessory', designation: '6PK1880' },
    { name: 'fan', designation: null },
  ],
  parts: [
    { component: 'water-pump', description: 'pump with gasket', quantity: 1, partNumber: null },
    { component: 'thermostat', description: 'thermostat', quantity: 2, partNumber: 'T-82' },
  ],
};

/** The card as its reader sees it: every message in it as text. */
const draw = (asked: WorkLine[], over: Partial<JobCardInput> = {}, language: Language = 'en') => {
  const input: JobCardInput = {
    lines: asked,
    sheet: SHEET,
    strengthPercent: null,
    losesCoolant: false,
    elevationM: 1500,
    units: 'si',
    ...over,
  };
  return readBy({ language, units: input.units }, jobCard(input));
};
const stepsOf = (asked: WorkLine[], over: Partial<JobCardInput> = {}) =>
  draw(asked, over).steps.map(({ step }) => step);
const volume = (litres: number) => ({ measure: 'volume', value: expect.closeTo(litres, 9) });

describe('the coolant of a job card', () => {
  const of = (asked: WorkLine[], coolant = {}, strengthPercent: number | null = null) =>
    readBy(
      { language: 'en', units: 'si' },
      coolantForJob({ ...SHEET.coolant, ...coolant }, workOf(asked), strengthPercent),
    );

  // Conservation of volume, by hand: what stays is 14 - 9.5 = 4.5 L at 50 %, so 14·0.5 - 4.5·0.5 =
  // 4.75 L, and 9.5 L in all.
  it('is concentrate and water for what drains out, or as much ready mixed', () => {
    expect(of(lines('coolant:replace')).coolant).toMatchObject({
      base: 'ethylene-glycol',
      technology: 'OAT',
      capacity: volume(14),
      drains: volume(9.5),
      stays: volume(4.5),
      targetStrengthPercent: 50,
      bring: { concentrate: volume(4.75), water: volume(4.75) },
      premix: { volume: volume(9.5), strengthPercent: 50, endsAtPercent: expect.closeTo(50, 9) },
    });
  });

  // By hand: capacity · target = 14 · 0.5 = 7 L of neat concentrate, 9.5 - 7 = 2.5 L of water.
  it('is neat concentrate of capacity times target after a water flush, told beside a plain refill too', () => {
    const flushed = { concentrate: volume(7), water: volume(2.5) };
    const flush = of(lines('coolant:flush')).coolant;
    expect(flush.bring).toMatchObject(flushed);
    expect(flush.bring?.note).toMatch(/neat concentrate first, all 7 L,/);
    expect(flush.premix).toBeNull();
    expect(of(lines('coolant:replace')).coolant.afterWaterFlush).toMatchObject(flushed);
    expect(of(lines('radiator:flush')).coolant.bring).toMatchObject(flushed);
  });

  // By hand: 7 - 4.5·0.4 = 5.2 L and 9.5 - 5.2 = 4.3 L; ready mixed ends at (4.5·40 + 9.5·50)/14 =
  // 46.786 %.
  it('counts what stays at its own strength, where that is known', () => {
    const { coolant, basis } = of(lines('coolant:replace'), {}, 40);
    expect(coolant.bring).toMatchObject({ concentrate: volume(5.2), water: volume(4.3) });
    expect(coolant.premix?.endsAtPercent).toBeCloseTo((4.5 * 40 + 9.5 * 50) / 14, 9);
    expect(basis.join()).toMatch(/at 40 %, the latest strength known/);
  });

  it('is enough for the whole system where the sheet does not say what drains out', () => {
    const { coolant, missing } = of(lines('water-pump:replace'), { drainableL: null });
    expect(coolant).toMatchObject({
      drains: null,
      stays: null,
      bring: { concentrate: volume(7), water: volume(7) },
    });
    expect(missing.join()).toMatch(/does not say how much drains out/);
  });

  // By hand: 14·0.7 = 9.8 L do not go into the 9.5 L that drain out.
  it('says why, where the target cannot be reached by what drains out', () => {
    const { coolant, missing } = of(lines('coolant:flush'), { targetStrengthPercent: 70 });
    expect(coolant.bring).toBeNull();
    expect(missing).toEqual([expect.stringMatching(/^Coolant: 70 % needs 9.8 L .* only 9.5 L drained out/)]);
  });

  it('takes 50 % where the sheet has no target, and says so', () => {
    const { coolant, missing } = of(lines('coolant:replace'), { targetStrengthPercent: null });
    expect(coolant.targetStrengthPercent).toBe(50);
    expect(missing.join()).toMatch(/no target strength, so 50 % is taken \(common practice\)/);
  });

  // x = V·(Ct - C0)/(Cr - C0), by hand: 14·(50 - 30)/(100 - 30) = 4 L; 14·(50 - 56)/(0 - 56) = 1.5
  // L.
  it.each([
    [30, 'concentrate', 4],
    [56, 'water', 1.5],
  ])('is adjusted from %d %% with %s', (strengthPercent, pour, litres) => {
    const { coolant } = of(lines('coolant:adjust'), {}, strengthPercent);
    expect(coolant.adjust).toEqual({ drain: volume(litres), pour, fromPercent: strengthPercent });
    expect(coolant.bring).toBeNull();
  });

  it('is adjusted after a reading, where the strength is not known', () => {
    expect(of(lines('coolant:adjust')).coolant.adjust).toBeNull();
    expect(of(lines('coolant:adjust')).missing.join()).toMatch(/Read it first/);
  });

  it('comes to the target whatever the system, and never asks for more than there is room for', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2, max: 60, noNaN: true }),
        fc.double({ min: 0.3, max: 1, noNaN: true }),
        fc.integer({ min: 20, max: 70 }),
        fc.integer({ min: 0, max: 70 }),
        (capacityL, share, targetStrengthPercent, stays) => {
          const drainableL = capacityL * share;
          const { coolant, missing } = of(
            lines('coolant:replace'),
            { capacityL, drainableL, targetStrengthPercent },
            stays,
          );
          if (coolant.bring === null) return expect(missing.join()).toMatch(/^Coolant: /);
          const [concentrate, water] = [coolant.bring.concentrate.value, coolant.bring.water.value];
          expect(concentrate + water).toBeCloseTo(drainableL, 9);
          const percent = (100 * concentrate + stays * (capacityL - drainableL)) / capacityL;
          expect(percent).toBeCloseTo(targetStrengthPercent, 6);
        },
      ),
    );
  });
});

describe('the hold test of a job card', () => {
  const testFor = (...[method, limits, place, units, practice]: Parameters<typeof holdTestForJob>) =>
    readBy({ language: 'en', units }, holdTestForJob(method, limits, place, units, practice));
  const at = (elevationM: number) => atmosphereAt({ elevationM });

  // U.S. Standard Atmosphere 1976: 84.55966 kPa at 1500 m, 24.970 inHg; the trade's rule takes 23
  // inHg · 84.55966 / 101.325 = 19.194 inHg.
  it('has its vacuum reduced for the elevation, and the most that the air there can give', () => {
    const { test } = testFor('vacuum', SHEET.holdTest, at(1500), 'us', COMMON_PRACTICE);
    expect(convert(test.target?.value ?? 0, 'kPa', 'inHg')).toBeCloseTo(19.194, 3);
    expect(convert(test.greatestVacuum?.value ?? 0, 'kPa', 'inHg')).toBeCloseTo(24.97, 3);
    expect(test.targetAtSeaLevel).toEqual({ measure: 'vacuum', value: TARGET_KPA });
    expect(test).toMatchObject({ method: 'vacuum', minutes: 5, greatestPressure: null });
    // Choked flow: the loss allowed follows the air pressure, too.
    expect(convert(test.allowedLoss.value, 'kPa', 'inHg')).toBeCloseTo(84.55966 / 101.325, 5);
  });

  // "1 inHg less per 1,000 ft", the trade's rule of thumb: common practice, no source; good to 0.75
  // inHg up to 6,000 ft.
  it.each([1000, 3000, 6000])('follows the rule of thumb at %d ft', (feet) => {
    const limits = { ...SHEET.holdTest, targetKpa: convert(27, 'inHg', 'kPa') };
    const { test } = testFor('vacuum', limits, at(feet * 0.3048), 'us', COMMON_PRACTICE);
    expect(Math.abs(convert(test.target?.value ?? 0, 'kPa', 'inHg') - (27 - feet / 1000))).toBeLessThan(0.75);
  });

  // Common practice, no source: the cap's rating, 7 kPa in 5 minutes.
  it('is at the cap’s rating by pressure, wherever it is', () => {
    const { test, basis } = testFor('pressure', SHEET.holdTest, at(1500), 'si', COMMON_PRACTICE);
    expect(test).toEqual({
      method: 'pressure',
      target: { measure: 'pressure', value: CAP_KPA },
      targetAtSeaLevel: null,
      greatestVacuum: null,
      greatestPressure: { measure: 'pressure', value: CAP_KPA },
      minutes: 5,
      allowedLoss: { measure: 'pressure', value: 7 },
    });
    expect(basis.join()).toMatch(/common practice/);
  });

  it('is not prescribed above what the system may be tested at', () => {
    const limits = { procedureMethod: 'pressure' as const, targetKpa: 140, capRatingKpa: CAP_KPA };
    const { test, missing } = testFor('pressure', limits, at(0), 'us', COMMON_PRACTICE);
    expect(test.target).toBeNull();
    expect(missing).toEqual([expect.stringMatching(/20.5 psi, above the 16 psi .* Do not test at it/)]);
    const raised = { ...limits, maxTestPressureKpa: 145 };
    expect(testFor('pressure', raised, at(0), 'us', COMMON_PRACTICE).test.target).toBeNull();
    const lowered = { ...limits, targetKpa: 95, maxTestPressureKpa: 100 };
    const allowed = testFor('pressure', lowered, at(0), 'us', COMMON_PRACTICE).test;
    expect([allowed.target?.value, allowed.greatestPressure?.value]).toEqual([95, 100]);
  });

  it('says what it lacks, and takes the fleet’s own defaults', () => {
    const own = { ...COMMON_PRACTICE, holdMinutes: 10 };
    const { test, missing } = testFor('vacuum', {}, at(0), 'us', own);
    expect(test).toMatchObject({ target: null, targetAtSeaLevel: null, minutes: 10 });
    expect(missing).toEqual([expect.stringMatching(/no target for the vacuum/)]);
  });
});

describe('where the coolant of a job card boils', () => {
  const CAP_15 = convert(15, 'psi', 'kPa');
  const half = volumePercentFromMass('ethylene-glycol', 50);

  // Raoult's law with IAPWS-IF97, own derivation: 50 mass % boils at 107.27 °C open and 129.24 °C
  // under 15 psi at sea level, 126.42 °C at 1500 m.
  it.each([
    [0, 129.24],
    [1500, 126.42],
  ])('at %d m under the cap is %d °C', (elevationM, expected) => {
    const { boilOver } = boilOverForJob('ethylene-glycol', half, CAP_15, atmosphereAt({ elevationM }));
    expect(Math.abs((boilOver.boilsAt?.value ?? 0) - expected)).toBeLessThan(0.02);
  });

  it('is as good as it is told in the reader’s units', () => {
    for (const [units, said, unsaid] of [
      ['us', /good to ±2\.7 °F$/, /°C|\bK\b/],
      ['si', /good to ±1\.5 °C$/, /°F|\bK\b/],
    ] as const) {
      const boiling = draw(lines('coolant:replace'), { units }).basis.filter((text) =>
        text.startsWith('boiling'),
      );
      expect(boiling).toEqual([expect.stringMatching(said)]);
      expect(boiling.join()).not.toMatch(unsaid);
    }
  });

  it('is told with the cap off too, and alone where its rating is not known', () => {
    const { boilOver } = boilOverForJob('ethylene-glycol', half, null, atmosphereAt({ elevationM: 0 }));
    expect(boilOver.boilsAt).toBeNull();
    expect(Math.abs(boilOver.boilsOpenAt.value - 107.27)).toBeLessThan(0.02);
  });
});

describe('the steps of a job card', () => {
  // Common practice for the order, no source; a vacuum test prepares the fill, a pressure test is
  // made on a filled system.
  it('are those of a pump and new coolant, in the order to do them', () => {
    expect(stepsOf(lines('water-pump:replace', 'coolant:replace'))).toEqual([
      'cool',
      'drain',
      'remove',
      'fit',
      'torque',
      'belt',
      'prepare-fill',
      'hold-test',
      'fill',
      'top-up-to-mark',
      'warm-up',
      'cool-down',
      'read-strength',
      'top-up',
      'road-test',
      'recheck',
    ]);
  });

  it('put the pressure test after the fill, topped up to the mark', () => {
    const sheet = {
      ...SHEET,
      holdTest: { ...SHEET.holdTest, procedureMethod: 'pressure' as const, targetKpa: CAP_KPA },
    };
    const steps = stepsOf(lines('coolant:replace'), { sheet });
    expect(steps.slice(steps.indexOf('prepare-fill'), steps.indexOf('warm-up'))).toEqual([
      'prepare-fill',
      'fill',
      'top-up-to-mark',
      'hold-test',
    ]);
  });

  it.each([
    [['drive-belt:inspect'], ['inspect', 'belt']],
    [['drive-belt:replace:accessory'], ['remove', 'fit', 'torque', 'belt', 'road-test']],
    [['coolant:recheck'], ['cool', 'read-level', 'top-up']],
    [['coolant:test'], ['cool', 'read-strength', 'hold-test']],
    [
      ['coolant:adjust'],
      [
        ...['cool', 'read-strength', 'read-level', 'adjust-strength'],
        ...['warm-up', 'cool-down', 'read-strength', 'top-up'],
      ],
    ],
    [['radiator-cap:test'], ['cool', 'test']],
    [['fan-drive:inspect'], ['inspect']],
    [['radiator:clean'], ['clean', 'torque', 'road-test']],
    [[], []],
  ])('are for %j no more than %j', (asked, expected) => {
    expect(stepsOf(lines(...asked))).toEqual(expected);
  });

  // Boyle's law, by hand: 1 - 65.0/84.56 = 0.23128 of 9.5 L is 2.197 L. The recheck's 3 days or 160
  // km: common practice, no source.
  it('carry the numbers, in the reader’s units', () => {
    const { steps } = draw(lines('coolant:flush'));
    const text = (name: string) => steps.find(({ step }) => step === name)?.message;
    expect(text('drain')).toMatch(/about 9\.5 L$/);
    expect(text('hold-test')).toBe(
      'Hold test by vacuum, system cold. Pull 65 kPa, close the valve, wait 5 min. It may drop 2.8 kPa.',
    );
    expect(text('flush')).toMatch(/Rinse last with demineralised or distilled water\. Tap water only in an/);
    expect(text('fill')).toBe(
      'Fill: 7 L of neat concentrate first, then up to 2.5 L of demineralised or distilled water',
    );
    expect(text('top-up-to-mark')).toMatch(
      /before starting the engine: the vacuum leaves up to 2\.2 L of air/,
    );
    expect(text('recheck')).toMatch(/within 3 days or 160 km$/);
    const us = draw(lines('coolant:flush'), { units: 'us' }).steps.map((step) => step.message);
    expect(us.join()).toMatch(
      /about 10 qt.*Pull 19 inHg, .* may drop 0\.8 inHg.*7\.5 qt of neat concentrate.*3 days or 100 mi/,
    );
    expect(us.join()).not.toMatch(/\bL\b|kPa|km/);
  });

  it('name each part once, with its item', () => {
    const { steps } = draw(lines('drive-belt:replace:accessory', 'idler:replace', 'egr-cooler:clean'));
    const text = steps.map((step) => step.message);
    expect(text).toContain('Remove: drive belt (accessory) and idler');
    expect(text).toContain('Clean: EGR cooler');
  });

  it('prove by pressure that a loss is gone, which a passed vacuum test does not', () => {
    const card = draw(lines('water-pump:replace'), { losesCoolant: true });
    expect(card.proofTest).toMatchObject({ method: 'pressure', target: { value: CAP_KPA } });
    expect(card.steps.map(({ step }) => step)).toContain('proof-test');
    expect(card.cautions).toContain("Never go above the cap's rating when you pressure test.");
    expect(draw(lines('water-pump:replace')).proofTest).toBeNull();
  });
});

describe('a job that lets some of the coolant out', () => {
  const text = (card: ReturnType<typeof draw>, name: string) =>
    card.steps.find(({ step }) => step === name)?.message ?? '';

  // Common practice, no source: 15 % of the 9.5 L that drain are 1.425 L, at 50 % half of it
  // concentrate.
  it('is drained to below the part, and brings what may be needed besides what was caught', () => {
    const card = draw(lines('reservoir:replace'));
    expect(card.opens).toBe('some');
    expect(card.coolant).toMatchObject({
      comesOut: volume(1.425),
      bring: { concentrate: volume(0.7125), water: volume(0.7125) },
      premix: { volume: volume(1.425), strengthPercent: 50, endsAtPercent: expect.closeTo(50, 9) },
      afterWaterFlush: null,
    });
    expect(text(card, 'drain')).toMatch(/to just below the part\. Catch it clean.*about 1\.4 L$/);
    expect(text(card, 'fill')).toBe(
      'Fill up to the mark with what was caught clean, or else with 1.4 L of premix at 50 %',
    );
    expect(text(card, 'top-up')).not.toMatch(/vacuum/);
  });

  // By hand: (14 - 1.425)·40 + 1.425·50 over 14 is 41.018 %.
  it('comes to what the coolant that stayed and the new come to', () => {
    const card = draw(lines('reservoir:replace'), { strengthPercent: 40 });
    expect(card.coolant?.premix?.endsAtPercent).toBeCloseTo(41.018, 3);
  });

  it('is proved by pressure, filled, whatever prepares a fill on the sheet', () => {
    const card = draw(lines('upper-hose:replace'));
    expect(card.holdTest).toMatchObject({ method: 'pressure', target: { value: CAP_KPA } });
    const steps = card.steps.map(({ step }) => step);
    expect(steps.indexOf('hold-test')).toBeGreaterThan(steps.indexOf('fill'));
    const unrated = { ...SHEET, holdTest: { ...SHEET.holdTest, capRatingKpa: null } };
    expect(draw(lines('upper-hose:replace'), { sheet: unrated }).holdTest?.method).toBe('vacuum');
  });

  it('is drained as a whole where another line asks for that', () => {
    const card = draw(lines('temperature-sensor:replace', 'water-pump:replace'));
    expect(card.opens).toBe('all');
    expect(card.coolant).toMatchObject({ comesOut: volume(9.5), bring: { concentrate: volume(4.75) } });
    expect(card.holdTest?.method).toBe('vacuum');
  });
});

describe('a job that lets no coolant out', () => {
  it('changes a coolant filter between its shut-offs, tops up and tests nothing', () => {
    const card = draw(lines('coolant-filter:replace'));
    expect(card).toMatchObject({ opens: 'none', holdTest: null, coolant: { bring: null, comesOut: null } });
    expect(card.steps.map(({ step }) => step)).toEqual([
      'cool',
      'read-level',
      'remove',
      'fit',
      'top-up',
      'road-test',
    ]);
    const words = card.steps.map((step) => step.message).join();
    expect(words).toMatch(
      /Close both shut-off valves.*If it has none, drain to below it.*Open the filter's shut-off valves/,
    );
    expect(card.cautions.join()).toMatch(/Never open a hot system/);
  });

  it('cleans a radiator from outside', () => {
    const card = draw(lines('radiator:clean'));
    expect(card.opens).toBe('none');
    expect(card.steps.map(({ step }) => step)).not.toContain('drain');
  });
});

describe('what keeps a mechanic safe', () => {
  const words = (asked: WorkLine[], over: Partial<JobCardInput> = {}) => {
    const { steps, cautions } = draw(asked, over);
    return { steps: steps.map(({ message }) => message).join('\n'), cautions: cautions.join('\n') };
  };

  // Common practice, no source: a hose that can be held in the hand is below about 50 °C, 120 °F in
  // round figures.
  it.each([
    ['si', /upper hose is cool to the hand, below about 50 °C.*first stop under a rag/, /°F/],
    ['us', /upper hose is cool to the hand, below about 120 °F.*first stop under a rag/, /°C/],
  ] as const)('says in %s how cool a system is before it is opened', (units, said, unsaid) => {
    for (const work of ['coolant:replace', 'thermostat:replace']) {
      const { steps } = words(lines(work), { units });
      expect(steps).toMatch(said);
      expect(steps).not.toMatch(unsaid);
    }
  });

  it.each([
    'radiator-cap:replace',
    'radiator-cap:inspect',
    'coolant-filter:replace',
    'coolant:recheck',
    'coolant:inspect',
    'coolant:test',
    'coolant:adjust',
    'hose-clamp:replace',
    'hose-clamp:adjust',
    'upper-hose:adjust',
    'thermostat:test',
    'head-gasket:test',
    'water-pump:replace',
  ])('begins %s with a cool system, whether it drains or not', (work) => {
    const { steps, cautions } = draw(lines(work));
    expect(steps[0]).toEqual({ step: 'cool', message: expect.stringMatching(/^Engine off\. Wait until/) });
    expect(cautions.join()).toMatch(/Never open a hot system/);
  });

  it('cools the system before a leak is proved mended, though the work leaves it shut', () => {
    expect(stepsOf(lines('drive-belt:inspect'), { losesCoolant: true })).toEqual([
      ...['cool', 'inspect', 'belt', 'proof-test'],
    ]);
    expect(stepsOf(lines('drive-belt:inspect'))).not.toContain('cool');
  });

  it('reads and tops up only once the engine is cold again after a warm-up', () => {
    for (const work of ['coolant:adjust', 'coolant:replace', 'reservoir:replace']) {
      const steps = stepsOf(lines(work));
      const run = steps.indexOf('warm-up');
      expect(steps.slice(run, run + 4)).toEqual(['warm-up', 'cool-down', 'read-strength', 'top-up']);
      expect(words(lines(work)).steps).toMatch(/temperature steady, no leak\n/);
    }
    expect(words(lines('coolant:adjust')).cautions).toMatch(/leads the exhaust outside/);
    const both = stepsOf(lines('coolant:adjust', 'reservoir:replace'));
    expect(both.filter((step) => step === 'warm-up')).toHaveLength(1);
    const tested = stepsOf(lines('head-gasket:test', 'coolant:replace'));
    expect(tested.slice(0, 4)).toEqual([...['cool', 'test', 'test', 'cool-down']]);
  });

  it.each(['head-gasket:replace', 'injector-sleeve:replace', 'egr-cooler:replace'])(
    'tests for combustion gas after %s, fitted cold, before the level is brought back',
    (work) => {
      const { steps, cautions } = draw(lines(work));
      const names = steps.map(({ step }) => step);
      const at = names.indexOf('test');
      expect(names.slice(at - 2, at + 3)).toEqual([
        ...['warm-up', 'cool-down', 'test', 'read-strength', 'top-up'],
      ]);
      expect(steps[at]?.message).toMatch(
        /^Combustion-gas test: with the engine cold, .*hot and under load\. A negative test closes the finding.*Let it cool before/,
      );
      expect(cautions.join()).toMatch(/leads the exhaust outside/);
    },
  );

  it('sets the timing marks, and renews the pump that a timing belt drives with it', () => {
    const { steps, cautions } = words(lines('timing-belt:replace'));
    expect(steps).toMatch(/Set the engine on its timing marks\. Remove: timing belt/);
    expect(steps).toMatch(/Turn the engine twice by hand and check the timing marks/);
    expect(cautions).toMatch(/If the belt drives the water pump, replace the pump along with it/);
    expect(words(lines('water-pump:replace')).cautions).toMatch(
      /If the belt drives the water pump, replace the pump/,
    );
    expect(words(lines('head-gasket:replace')).cautions).toMatch(/set the timing marks/);
    expect(words(lines('head-gasket:test')).cautions).not.toMatch(/timing/);
    expect(words(lines('drive-belt:replace')).cautions).not.toMatch(/timing/);
  });

  it.each(['head-gasket:test', 'injector-sleeve:test', 'egr-cooler:test'])(
    'fits the combustion-gas tester cold for %s, and parks what is positive',
    (work) => {
      const { steps, cautions } = words(lines(work));
      expect(steps).toMatch(
        /engine cold, lower the level.*fit it\. Then warm the engine up.*park the vehicle/,
      );
      expect(cautions).toMatch(/leads the exhaust outside/);
    },
  );
});

describe('coolant that lacks additive', () => {
  const coolant = {
    ...{ technology: 'IAT' as const, heavyDuty: true, wetLiners: true },
    limits: { scaMinUnitsPerGallon: 1.5, scaMaxUnitsPerGallon: 3 },
  };
  const bottle = {
    ...{ product: 'inhibitor', amount: { value: 1, unit: 'pt' as const } },
    ...{ treatsL: 3.785411784, raisesScaUnitsPerGallon: 10 },
  };
  const condition = {
    ...{ pH: null, nitriteMgPerL: null, molybdateMgPerL: null, reserveAlkalinityMl: null },
    scaUnitsPerGallon: 0.5,
  };
  const dosed = (over: Partial<JobCardInput> = {}, additive: typeof bottle | null = bottle) =>
    draw(lines('coolant:adjust'), {
      sheet: { ...SHEET, additive: { additive, capacityL: 14, coolant } },
      condition,
      ...over,
    });
  const names = (card: ReturnType<typeof draw>) => card.steps.map(({ step }) => step);
  const doseOf = (card: ReturnType<typeof draw>) => card.steps.find(({ step }) => step === 'dose')?.message;

  // By hand: from 0.5 to 2.25 units a gallon in 14 L, 1 pt raising a gallon by 10: 0.175 · 14 /
  // 3.785 = 0.647 pt, measured out as 1 pt.
  it('has it added, and nothing drained where the strength is right or was never found wrong', () => {
    for (const over of [
      {},
      { strengthPercent: 44, freezePointVerdict: 'pass' as const },
      { strengthPercent: 52 },
    ]) {
      const card = dosed(over);
      expect(names(card)).toEqual([
        ...['cool', 'read-strength', 'read-level', 'dose', 'warm-up', 'cool-down', 'top-up'],
      ]);
      expect([doseOf(card), card.coolant?.adjust]).toEqual(['Add 1 pt of inhibitor', null]);
      expect(card.cautions.join()).toMatch(
        /Never add cold coolant to a hot engine.*leads the exhaust outside/,
      );
    }
  });

  it('has it added besides where the strength is wrong too, or only what the label says', () => {
    const card = dosed({ strengthPercent: 30, freezePointVerdict: 'fail' });
    expect(names(card).slice(3, 6)).toEqual(['adjust-strength', 'dose', 'warm-up']);
    expect(names(dosed({ strengthPercent: 30 }))).toContain('adjust-strength');
    expect(doseOf(dosed({}, null))).toBe('Add additive as its label says, for the capacity on this card');
    expect(doseOf(dosed({ condition: null }))).toBeUndefined();
  });
});

describe('a machine that counts engine hours alone', () => {
  // 160 km are 4 h at 25 h for 1,000 km: common practice, no source.
  it.each(['us', 'si'] as const)('gets no distance in %s', (units) => {
    const card = draw(lines('coolant:flush', 'water-pump:replace'), { units, isHourOnly: true });
    expect(card.steps.at(-1)?.message).toBe(
      'Recheck the level, cold, after the first run: within 3 days or 4 h',
    );
    expect(card.steps.map(({ message }) => message).join()).not.toMatch(/\bmi\b|\bkm\b|drive\b|Road/);
  });
});

describe('a job card', () => {
  it('has the parts of the components asked, and names those that the sheet lacks', () => {
    const card = draw(lines('water-pump:replace', 'upper-hose:replace', 'tensioner:inspect'));
    expect(card.parts).toEqual([SHEET.parts[0]]);
    expect(card.missing).toContain('The spec sheet has no part for: upper hose.');
  });

  // By hand: 11 N·m ± 10 % is 9.9 to 12.1; 25 N·m ± 10 % (common practice, no source) is 22.5 to
  // 27.5, 30 N·m is 27 to 33.
  it('has the fasteners of its parts with count, limits and angle, those of no part, and the drain plug', () => {
    const { fasteners, basis } = draw(lines('water-pump:replace'));
    const torque = (value: number) => ({ measure: 'torque', value: expect.closeTo(value, 9) });
    expect(fasteners).toEqual([
      {
        name: 'pump-to-cover',
        count: 9,
        component: 'water-pump',
        torque: torque(11),
        min: torque(9.9),
        max: torque(12.1),
        tolerancePercent: 10,
        angle: null,
      },
      {
        name: 'pulley',
        count: 4,
        component: null,
        torque: torque(25),
        min: torque(22.5),
        max: torque(27.5),
        tolerancePercent: 10,
        angle: '90°',
      },
      expect.objectContaining({ name: 'drain plug', component: 'coolant', min: torque(27), max: torque(33) }),
    ]);
    expect(basis.join()).toMatch(/torque ±10 % \(common practice\)/);
    expect(draw(lines('coolant:test')).fasteners).toEqual([]);
  });

  const fastened = (...words: string[]) => draw(lines(...words)).fasteners.map(({ name }) => name);

  // Common practice, no source.
  it.each([
    [['coolant:replace'], ['drain plug']],
    [['coolant:flush', 'coolant:test'], ['drain plug']],
    [['coolant:adjust'], []],
    [['idler:replace'], ['pulley', 'idler']],
    [['idler:inspect'], []],
    [
      ['water-pump:replace', 'idler:adjust'],
      ['pump-to-cover', 'pulley', 'idler', 'drain plug'],
    ],
    [['thermostat:replace'], ['pulley']],
    [['upper-hose:replace', 'radiator-cap:replace', 'coolant-filter:replace'], []],
  ])('for %j lists the fasteners %j', (asked, names) => {
    expect(fastened(...asked)).toEqual(names);
  });

  it('names the parts whose torques the sheet lacks, and asks for none where nothing is bolted', () => {
    const sheet = { ...SHEET, fasteners: SHEET.fasteners.filter(({ component }) => component === 'idler') };
    const lacking = (...words: string[]) =>
      draw(lines(...words), { sheet }).missing.filter((text) => text.includes('torques'));
    expect(lacking('water-pump:replace', 'idler:replace', 'thermostat:replace')).toEqual([
      "The spec sheet has no fastener torques for: water pump and thermostat. Take them from the vehicle maker's information.",
    ]);
    expect(lacking('coolant:replace', 'upper-hose:replace', 'drive-belt:replace')).toEqual([]);
  });

  it('tells what a part that is adjusted has tightened, and how far it is turned', () => {
    const texts = (...asked: string[]) => draw(lines(...asked)).steps.map(({ message }) => message);
    expect(texts('water-pump:adjust')).toContain('Tighten the fasteners of: water pump');
    expect(texts('other:adjust:pulley')).toContain('Tighten the fasteners of: other part (pulley)');
    const torque = 'Tighten to the torques on this card';
    expect(texts('water-pump:adjust')).toContain(`${torque}, then by the angle given`);
    const sheet = { ...SHEET, fasteners: SHEET.fasteners.filter(({ angle }) => angle === undefined) };
    expect(draw(lines('idler:replace'), { sheet }).steps.map(({ message }) => message)).toContain(torque);
    expect(texts('head-gasket:adjust', 'tensioner:adjust')).toContain('Adjust: head gasket and tensioner');
  });

  it('brings no parts for looking, testing and adjusting', () => {
    expect(draw(lines('water-pump:inspect', 'thermostat:test', 'water-pump:adjust')).parts).toEqual([]);
    expect(draw(lines('thermostat:replace')).parts).toEqual([SHEET.parts[1]]);
  });

  // Common practice, no source: an engine that is low on coolant is not run, not even for a test.
  it('reads what is read cold before a combustion-gas test warms the engine up', () => {
    const { steps } = draw(lines('head-gasket:test', 'coolant:inspect'));
    const texts = steps.map((step) => step.message);
    const gasTest = texts.findIndex((text) =>
      text.startsWith('Combustion-gas test: never run the engine low'),
    );
    expect(gasTest).toBeGreaterThan(steps.findIndex(({ step }) => step === 'read-level'));
    expect(steps.findIndex(({ step }) => step === 'read-level')).toBeGreaterThan(-1);
  });

  it('has the belt that a pulley is named by', () => {
    const card = draw(lines('tensioner:replace:accessory'));
    expect(card.belts.map(({ name }) => name)).toEqual(['accessory']);
  });

  // ISO 9981: ribs 3.56 mm apart, so 6 · 3.56 = 21.36 mm; the length stands in the designation in
  // mm.
  it('has the belts that are taken off, and leaves their routing to the maker', () => {
    const accessory = {
      name: 'accessory',
      designation: '6PK1880',
      ribs: 6,
      effectiveLength: { measure: 'size', value: 1880 },
      width: { measure: 'size', value: expect.closeTo(21.36, 9) },
      tension: null,
    };
    const one = draw(lines('drive-belt:replace:accessory', 'coolant:replace'));
    expect(one.belts).toEqual([accessory]);
    expect(one.beltRouting).toMatch(/maker's diagram/);
    const any = draw(lines('drive-belt:replace:accessory', 'water-pump:replace'));
    expect(any.belts.map(({ name }) => name)).toEqual(['accessory', 'fan']);
    expect(any.missing.join()).toMatch(/lacks a belt's designation/);
    expect(draw(lines('coolant:replace')).belts).toEqual([]);
  });

  it('keeps a designation that no belt has as text, and says what is wrong with it', () => {
    const sheet = { ...SHEET, belts: [{ name: 'accessory', designation: '60PK1880' }] };
    const card = draw(lines('drive-belt:replace'), { sheet });
    expect(card.belts).toEqual([
      {
        ...{ name: 'accessory', designation: '60PK1880', ribs: null, effectiveLength: null, width: null },
        tension: null,
      },
    ]);
    expect(card.missing.join()).toMatch(/Belt accessory: 60PK1880 has 60 ribs/);
  });

  it('is made without a spec sheet and without an elevation, saying what is missing', () => {
    const card = draw(lines('water-pump:replace'), { sheet: null, elevationM: null });
    expect(card).toMatchObject({
      parts: [],
      fasteners: [],
      coolant: null,
      holdTest: null,
      boilOver: null,
      belts: [],
    });
    expect(card.missing).toEqual([
      expect.stringMatching(/no spec sheet\. .* vehicle maker's information/),
      expect.stringMatching(/No elevation is known, so sea level is assumed/),
    ]);
    expect(card.steps.map(({ step }) => step)).toContain('drain');
    expect(card.cautions.at(-1)).toMatch(/vehicle maker's service information/);
  });

  it('carries the cautions of its work in the order to read them, the one that defers to others last', () => {
    expect(draw(lines('drive-belt:inspect')).cautions).toEqual([
      'Before you reach in: key out, parking brake on, wheels chocked, articulation locked.',
      'Wear eye and hand protection.',
      'Support a raised vehicle on stands before working under it.',
      'Keep clear of belts and fans. An electric fan can start with the engine off.',
      english(CAUTIONS['belt-drive'].at(-1)!),
    ]);
    expect(cautionsOfJob(workOf([]), [])).toEqual(CAUTIONS['whole-job']);
    const full = draw(lines('water-pump:replace'), { losesCoolant: true });
    const [highVoltage, ...others] = CAUTIONS['whole-job'];
    expect(highVoltage.code).toBe('caution-high-voltage');
    expect(full.cautions).toEqual(others.map(english));
  });

  it('is made for any work on any sheet, in whole numbers and words, and never tests above the cap’s rating', () => {
    const line = fc.record({
      component: fc.constantFrom(...COMPONENTS),
      action: fc.constantFrom(...ACTIONS),
      item: fc.constantFrom(null, 'accessory'),
    });
    const coolant = fc.record({
      base: fc.constantFrom('ethylene-glycol' as const, 'propylene-glycol' as const),
      technology: fc.constant(null),
      capacityL: fc.double({ min: 1, max: 80, noNaN: true }),
      drainableL: fc.constantFrom(null, 0.5, 1),
      targetStrengthPercent: fc.constantFrom(null, 0, 33, 50, 100),
    });
    fc.assert(
      fc.property(
        fc.array(line, { minLength: 1, maxLength: 8 }),
        coolant,
        fc.constantFrom(null, 0, 44.4, 60),
        fc.constantFrom(null, 20, 110),
        fc.boolean(),
        fc.constantFrom('us' as const, 'si' as const),
        (asked, spec, strengthPercent, capRatingKpa, losesCoolant, units) => {
          const sheet = { ...SHEET, coolant: spec, capRatingKpa, holdTest: { capRatingKpa } };
          const card = draw(asked, { sheet, strengthPercent, losesCoolant, units });
          expect(card.steps.length).toBeGreaterThan(0);
          expect(card.cautions.at(-1)).toBe(english(CAUTIONS['whole-job'].at(-1)!));
          expect(JSON.stringify(card)).not.toMatch(/NaN|undefined|Infinity/);
          const target = card.holdTest?.method === 'pressure' ? (card.holdTest.target?.value ?? 0) : 0;
          expect(target).toBeLessThanOrEqual((capRatingKpa ?? Infinity) * (1 + 1e-9));
        },
      ),
    );
  });

  it('names each part once, as people say it, whatever is done to it', () => {
    const named = partsNamed(lines('egr-cooler:inspect', 'drive-belt:replace:accessory', 'egr-cooler:test'));
    expect(named.map(english)).toEqual(['EGR cooler', 'drive belt (accessory)']);
  });
});

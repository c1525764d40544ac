import fc from 'fast-check';
import {
  evaluateLevelCheck as judge,
  type LevelCheckReading,
} from '../../../src/domain/checks/level-check.js';
import { LEVEL_WORDS, levelAgainstMarks, requireAgreement } from '../../../src/domain/checks/level-marks.js';
import { judgingInEnglish } from '../../support/refusals-in-english.js';

const evaluateLevelCheck = judgingInEnglish(judge);

const check = (reading: Partial<LevelCheckReading>, minToMaxL: number | null = null) =>
  evaluateLevelCheck(
    { kind: 'level-check', engineCold: true, unit: 'L', ...reading },
    { capacityL: 14, minToMaxL },
  );

describe('a level by its marks', () => {
  it.each([
    ['below-min', 'fail'],
    ['between', 'pass'],
    ['at-max', 'pass'],
    ['above-max', 'inconclusive'],
  ] as const)('%s is %s, cold, hot and unsaid', (level, verdict) => {
    for (const engineCold of [true, false, null])
      expect(check({ level, engineCold })).toMatchObject({ verdict, computed: { level, belowMark: null } });
  });

  it('says what to do above MAX', () => {
    expect(check({ level: 'above-max' }).reasons[0]).toMatch(/Draw it down to MAX.*combustion gas/);
    expect(check({ level: 'above-max', engineCold: false }).reasons[0]).toMatch(/Read it again cold/);
    expect(check({ level: 'above-max', engineCold: null }).reasons[0]).toMatch(/Read it cold/);
  });

  // A level of 14 L is read to ±0.3 L (k = 2); MIN lies 1.2 L below MAX. Litres count from MAX.
  it.each([
    ['between', 0.8, 1.2],
    ['between', 1.5, 1.2],
    ['between', 0, null],
    ['between', 3, null],
    ['below-min', 1.2, 1.2],
    ['below-min', 0.9, 1.2],
    ['below-min', 0.5, null],
    ['at-max', 0.3, 1.2],
    ['at-max', -0.3, null],
    ['above-max', -0.5, null],
  ] as const)('%s beside %d L below the mark agrees', (level, belowMarkL, minToMaxL) => {
    expect(check({ level, belowMarkL }, minToMaxL).computed.level).toBe(level);
  });

  it.each([
    ['between', 1.51, 1.2],
    ['between', -0.4, null],
    ['below-min', 0.89, 1.2],
    ['below-min', 0, null],
    ['below-min', -1, null],
    ['at-max', 0.31, null],
    ['at-max', -0.31, null],
    ['above-max', 0, null],
    ['above-max', 0.5, null],
  ] as const)(
    '%s beside %d L below the mark is refused as a contradiction',
    (level, belowMarkL, minToMaxL) => {
      expect(() => check({ level, belowMarkL }, minToMaxL)).toThrow(
        expect.objectContaining({
          field: 'level',
          value: level,
          message: expect.stringMatching(/^level: is .* That fits .*\. Correct level or belowMark\.$/),
        }),
      );
    },
  );

  it('lets the marks decide where both are told', () => {
    expect(check({ level: 'between', belowMarkL: 0.8 }).verdict).toBe('pass');
    expect(check({ belowMarkL: 0.8 }).verdict).toBe('fail');
  });

  it.each([
    [0.8, true, 'pass', 'between'],
    [1.5, true, 'pass', 'between'],
    [1.51, true, 'fail', 'below-min'],
    [1.51, false, 'fail', 'below-min'],
    [0.8, false, 'inconclusive', 'between'],
    [0.2, true, 'pass', 'at-max'],
  ] as const)(
    '%d L below the mark, with MIN 1.2 L below it, cold: %p, is %s',
    (belowMarkL, engineCold, verdict, level) => {
      expect(check({ belowMarkL, engineCold }, 1.2)).toMatchObject({ verdict, computed: { level } });
    },
  );

  it('refuses a check that tells neither', () => {
    expect(() => check({})).toThrow(/level: is missing, and so is belowMark/);
  });

  it('agrees with the marks that the litres themselves come to', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.option(fc.double({ min: 0.7, max: 4, noNaN: true })),
        (belowMarkL, minToMaxL) => {
          const marks = { minToMaxL, expandedL: 0.3 };
          const level = levelAgainstMarks(belowMarkL, marks);
          const fits = LEVEL_WORDS.filter((word) => {
            try {
              requireAgreement(word, belowMarkL, { ...marks, unit: 'L' });
              return true;
            } catch {
              return false;
            }
          });
          expect(fits.length).toBeGreaterThan(0);
          if (level !== null) expect(fits).toContain(level);
        },
      ),
    );
  });
});

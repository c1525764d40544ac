import {
  beltTensionN,
  type BeltTensionReading,
  evaluateBeltTension as judge,
} from '../../../src/domain/belt/belt-tension.js';
import { evaluateTensionerCheck as judgeTensioner } from '../../../src/domain/belt/tensioner-check.js';
import { judgingInEnglish, refusingInEnglish } from '../../support/refusals-in-english.js';

const evaluateBeltTension = judgingInEnglish(judge);
const evaluateTensionerCheck = judgingInEnglish(judgeTensioner);
const tensionOf = refusingInEnglish(beltTensionN);

const LIMITS = {
  inService: { frequencyMinHz: 100, frequencyMaxHz: 115, deflectionMinMm: 6, deflectionMaxMm: 8 },
  newBelt: { frequencyMinHz: 120, frequencyMaxHz: 135 },
  deflectionForceN: 60,
  massKgPerM: 0.11,
};
const reading = (more: Partial<BeltTensionReading>): BeltTensionReading => ({
  kind: 'belt-tension',
  ...more,
});

describe('tension of a belt span', () => {
  // Worked examples of a maker of tension meters: 0.11 kg/m, 170 mm; 220 Hz gives 610 N (rounded
  // there), and 624 N ask for 221 Hz.
  it('is 4·m·L²·f²', () => {
    expect(tensionOf(0.11, 170, 220)).toBeCloseTo(615.46, 1);
    expect(Math.abs(tensionOf(0.11, 170, 220) / 610 - 1)).toBeLessThan(0.01);
    expect(Math.abs(tensionOf(0.11, 170, 221) / 624 - 1)).toBeLessThan(0.01);
  });

  it('refuses a span of nothing', () => {
    expect(() => tensionOf(0.11, 0, 220)).toThrow('0 mm must be more than 0');
  });
});

describe('belt tension', () => {
  it.each([
    [{ frequencyHz: 107 }, 'pass', null],
    [{ frequencyHz: 100 }, 'pass', null],
    [{ frequencyHz: 99 }, 'fail', 'slack'],
    [{ frequencyHz: 116 }, 'fail', 'tight'],
    [{ deflectionMm: 7 }, 'pass', null],
    [{ deflectionMm: 9 }, 'fail', 'slack'],
    [{ deflectionMm: 5 }, 'fail', 'tight'],
    [{ frequencyHz: 107, newBelt: true }, 'fail', 'slack'],
    [{ frequencyHz: 125, newBelt: true }, 'pass', null],
    [{ deflectionMm: 7, forceN: 80 }, 'inconclusive', null],
    [{ deflectionMm: 7, forceN: 64 }, 'pass', null],
  ] as const)('of %j is judged %s, %s', (measured, verdict, side) => {
    const judged = evaluateBeltTension(reading(measured), LIMITS);
    expect([judged.verdict, judged.computed.tautOrSlack]).toEqual([verdict, side]);
  });

  it('says which way it is wrong and what to do', () => {
    const low = evaluateBeltTension(reading({ frequencyHz: 99 }), LIMITS);
    expect(low.reasons).toEqual(['The belt is too slack: 99 Hz; at least 100 Hz is needed. Tighten it.']);
    const given = evaluateBeltTension(reading({ deflectionMm: 5, unit: 'mm' }), LIMITS);
    expect(given.reasons).toEqual([
      'The belt is too tight: it gives 5 mm; at least 6 mm is needed. Slacken it.',
    ]);
  });

  it('is not judged without limits, by none that the sheet leaves out', () => {
    for (const limits of [null, {}, { inService: { deflectionMaxMm: 8 } }])
      expect(evaluateBeltTension(reading({ frequencyHz: 90 }), limits)).toMatchObject({
        verdict: null,
        reasons: [expect.stringContaining('There are no limits')],
      });
  });

  it('gives the tension where span and mass are known', () => {
    const { computed } = evaluateBeltTension(reading({ frequencyHz: 107, spanMm: 300 }), LIMITS);
    expect(computed.tension).toEqual({ measure: 'force', value: expect.closeTo(453.4, 1) });
    expect(evaluateBeltTension(reading({ frequencyHz: 107 }), LIMITS).computed.tension).toBeNull();
  });
});

describe('tensioner check', () => {
  const good = {
    kind: 'tensioner-check',
    mark: 'in-range',
    armMovesFreely: true,
    pulleyRunsTrue: true,
  } as const;

  it.each([
    [good, null, 'pass'],
    [{ ...good, mark: 'out-of-range' }, null, 'fail'],
    [{ ...good, armMovesFreely: false }, null, 'fail'],
    [{ ...good, pulleyRunsTrue: false }, null, 'fail'],
    [{ ...good, armSwingMm: 4 }, 3, 'fail'],
    [{ ...good, armSwingMm: 3 }, 3, 'pass'],
    [{ ...good, armSwingMm: 40 }, null, 'pass'],
    [{ kind: 'tensioner-check' }, null, 'inconclusive'],
    [{ kind: 'tensioner-check', armSwingMm: 4 }, 3, 'fail'],
  ] as const)('of %j with a limit of %j is judged %s', (check, limit, verdict) => {
    expect(evaluateTensionerCheck(check, limit).verdict).toBe(verdict);
  });

  it('names what was not looked at', () => {
    const { reasons } = evaluateTensionerCheck({ kind: 'tensioner-check', mark: 'in-range' }, null);
    expect(reasons).toEqual([
      'The tensioner is good, as far as it was checked.',
      'Not checked: arm free to move and pulley quiet and true.',
    ]);
  });
});

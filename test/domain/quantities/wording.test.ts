import { atmosphereAt } from '../../../src/domain/atmosphere/atmosphere.js';
import { calculateBoilOver } from '../../../src/domain/coolant/boil-over.js';
import { standardAtmosphereKpa } from '../../../src/domain/atmosphere/standard-atmosphere.js';
import { COMMON_PRACTICE } from '../../../src/domain/evaluation/common-practice.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import type { Message } from '../../../src/domain/message.js';
import { requireCoolantTemperature } from '../../../src/domain/quantities/plausible.js';
import { holdTestProcedure } from '../../../src/domain/pressure/hold-test-procedure.js';
import { say } from '../../../src/domain/quantities/wording.js';
import { told, toldPercent } from '../../../src/domain/quantities/told.js';
import { measureInWords } from '../../../src/platform/words/quantity-words.js';
import { evaluateFreezePoint } from '../../../src/domain/strength/freeze-point.js';
import { english, englishIn } from '../../support/english.js';

describe('a computed value in a sentence', () => {
  // Conversions: NIST SP 811, by hand beside each; the marks to read to are common practice.
  it.each([
    [18.25, 'L', 'qt', 'nearest', '19.5 qt'], // 19.28
    [18.25, 'L', 'qt', 'down', '19 qt'],
    [0.497, 'L', 'qt', 'nearest', '0.5 qt'], // 0.525
    [0.2, 'L', 'qt', 'nearest', '0.2 qt'], // less than half a quart is no nothing
    [82.2222, 'C', 'C', 'nearest', '82 °C'],
    [-48.3, 'C', 'F', 'nearest', '-55 °F'], // -54.94
    [99.284, 'kPa', 'kPa', 'nearest', '99 kPa'],
    [1.693194, 'kPa', 'kPa', 'nearest', '1.7 kPa'],
    [7.03, 'kPa', 'psi', 'nearest', '1 psi'], // 1.0196
    [26.85, 'N.m', 'N.m', 'down', '26.8 N·m'],
    [26.4, 'N.m', 'ft.lbf', 'up', '19.5 lbf·ft'], // 19.4716
  ] as const)('says %d %s in %s, %s, as %s', (value, canonical, typed, rounding, words) => {
    expect(say(value, canonical, typed, rounding)).toBe(words);
  });

  it('repeats what was typed as it was typed', () => {
    expect(say(15.25 * 6.894757293168, 'kPa', 'psi')).toBe('15.25 psi');
    expect(say(74.5004559, 'kPa', 'inHg')).toBe('22 inHg');
    expect(say(12.34, 'N.m', 'N.m')).toBe('12.34 N·m');
  });

  it('does not move the limit of a refusal, and tells a strength to the half', () => {
    expect(measureInWords(told('vacuum', 84.55968, 'inHg', 'exact'), null, 'en-US')).toBe('24.97 inHg');
    expect([50.06, 34.29, 97.97].map((percent) => toldPercent(percent))).toEqual([50, 34.5, 98]);
    expect(toldPercent(39.87, 'down')).toBe(39.5);
  });
});

describe('one system of units in a sentence', () => {
  it('tells a place in feet beside US units, in metres beside others', () => {
    expect(english(atmosphereAt({ elevationM: 1524 }, 'inHg').basis)).toBe(
      'U.S. Standard Atmosphere 1976 at 5,000 ft: 24.9 inHg',
    );
    expect(english(atmosphereAt({ elevationM: 1500 }, 'kPa').basis)).toBe(
      'U.S. Standard Atmosphere 1976 at 1,500 m: 84.56 kPa',
    );
  });

  it('refuses a temperature and an elevation in the units of the reader', () => {
    const refused = (act: () => unknown): Message => {
      try {
        act();
      } catch (error) {
        if (error instanceof ImpossibleValue) return error.detail;
      }
      throw new Error('it was not refused');
    };
    const hot = refused(() => requireCoolantTemperature('coolantTemperature', 195));
    expect(englishIn('si', hot)).toBe(
      '195 °C is outside what a cooling system can have, -60 °C to 150 °C. Was it 195 °F?',
    );
    expect(englishIn('us', hot)).toBe(
      '383 °F is outside what a cooling system can have, -76 °F to 302 °F. Was it 195 °F?',
    );
    const high = refused(() => standardAtmosphereKpa(12_000));
    expect(englishIn('us', high)).toMatch(/^39,370\.1 ft is outside .*, -16,404\.2 ft to 36,151\.6 ft\./);
  });

  it('tells boiling in the system of the cap', () => {
    const water = { base: 'ethylene-glycol', strengthPercent: 50, elevationM: 1524 } as const;
    const us = calculateBoilOver({ ...water, capRatingKpa: 16 * 6.894757293168, unit: 'psi' });
    expect(english(us.reasons[0]!)).toMatch(
      /^50 % ethylene glycol boils at 263 °F under a 16 psi cap at 5,000 ft\.$/,
    );
    const si = calculateBoilOver({ ...water, capRatingKpa: 110, unit: 'kPa' });
    expect(english(si.reasons[0]!)).toMatch(/boils at 128 °C under a 110 kPa cap at 1,524 m\.$/);
    expect([us, si].map(({ basis }) => basis.map(english).join())).toEqual([
      expect.not.stringMatching(/ (kPa|°C|K|m)\b/),
      expect.not.stringMatching(/ (psi|°F|K|ft)\b/),
    ]);
  });

  it('tells margins of a freeze point and the trade rule of a vacuum in the units typed', () => {
    const read = { kind: 'freeze-point', base: 'ethylene-glycol', method: 'refractometer' } as const;
    const { basis } = evaluateFreezePoint({ ...read, value: -36, unit: 'F' }, { designLowTemperatureC: -30 });
    expect(basis.map(english).join()).toContain('±1.8 °F');
    expect(basis.map(english).join()).toContain('margin 5.4 °F');
    const test = { method: 'vacuum', unit: 'kPa' } as const;
    const procedure = holdTestProcedure(test, { targetKpa: 78, procedureMethod: 'vacuum' }, COMMON_PRACTICE);
    expect(procedure.basis.map(english).join()).not.toContain('inHg');
  });
});
